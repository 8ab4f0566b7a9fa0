"""What is asked of an arrangement, and what comes back: the values at this room's door."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from placement.top.setting.setting import Setting

Floats = NDArray[np.float64]

Style = Literal["scattered", "families", "repeating", "light to dark"]
STYLES: tuple[Style, ...] = ("scattered", "families", "repeating", "light to dark")

Progress = Callable[[float, str], None]
"""Called with the share done (0 to 1) and what is going on, in words; raising stops the work."""


def unwatched(_share: float, _words: str) -> None:
    """Take in progress that nobody waits for."""


@dataclass(frozen=True, slots=True, eq=False)
class Request:
    """A wish for an arrangement: K fabrics onto the n cells of a setting.

    Fabrics are numbers 0 to K-1 here; names stay outside. Cells are indices
    into ``setting.cells()``.
    """

    setting: Setting
    """The cells and who touches whom."""
    colours: Floats
    """Reads-as Lab of each fabric, shape (K, 3)."""
    difference: Floats
    """CIEDE2000 between fabrics, shape (K, K), symmetric, zero on the diagonal."""
    copies: tuple[int, ...] | None = None
    """Cells each fabric fills, adding up to the free cells; None shares them out equally."""
    style: Style = "scattered"
    """Which arranging rule."""
    families: tuple[int, ...] | None = None
    """For style 'families': 0 or 1 for each fabric; None finds two colour families."""
    pinned: dict[int, int] = field(default_factory=dict)
    """Cell to fabric: what must stay."""
    forbidden: dict[int, tuple[int, ...]] = field(default_factory=dict)
    """Cell to the fabrics that must not lie there."""
    holes: frozenset[int] = frozenset()
    """Cells left as plain background."""
    apart: float = 0.5
    """Least neighbour difference wanted, as a part of the furthest reachable, 0 to 1."""
    seed: int = 0
    """Same request and seed, same layout."""
    previous: tuple[int, ...] | None = None
    """An earlier layout (-1 for a hole) to stay close to when re-arranging."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How different the least different edge neighbours can be made (t* of the layout)."""

    best: float
    """The largest least difference found, CIEDE2000."""
    bound: float
    """No layout does better than this; equal to best when proved."""
    proved: bool
    """Whether best is the true optimum."""
    cause: str
    """Why it can't be better, in words with numbers; {3} stands for fabric number 3."""
    fabrics: tuple[int, ...]
    """The fabrics that are the cause, ascending."""
    layout: tuple[int, ...]
    """A layout that reaches best, -1 for a hole."""


@dataclass(frozen=True, slots=True)
class Quality:
    """How good a layout is, measured from the layout alone."""

    closest: float
    """Least difference between neighbours sharing an edge (a point if none do), CIEDE2000."""
    closest_cells: tuple[int, int] | None
    """Where that is; None when no two cells touch."""
    wanted: float
    """The least neighbour difference asked for."""
    reach: float
    """The largest least difference known to be reachable."""
    bound: float
    """The proved upper bound on it."""
    proved: bool
    """Whether reach equals the bound."""
    cause: str
    """Why neighbours can't differ more (see Reach.cause)."""
    copies_apart: float
    """Least distance between two copies of one fabric, in block sides; 0 if none has two."""
    spread: float
    """Spread score: standard deviations better than a random layout, higher is better."""
    evenness: float
    """How far counts in rows, columns, diagonals and quadrants are from fair, above what
    rounding forces and as a part of it; 0 is perfect."""
    balance: float
    """Distance of the lightness-weighted centroid from the middle, a part of the half diagonal."""
    repeated_contacts: int
    """Edge contacts that repeat a pair of fabrics already met."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """A layout and how good it is."""

    layout: tuple[int, ...]
    """Fabric number a cell, -1 for a hole."""
    quality: Quality
    """Its measure."""
    changed: int = 0
    """Cells that differ from the request's previous layout; 0 when there was none."""


@dataclass(frozen=True, slots=True)
class Swap:
    """Two cells whose fabrics could be exchanged."""

    first: int
    """A cell."""
    second: int
    """Another cell."""
    gain: float
    """How much better the layout gets, in standard deviations of a random layout."""
    closest_after: float
    """Least difference between edge neighbours after the swap, CIEDE2000."""

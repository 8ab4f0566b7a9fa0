"""What is asked of an arrangement, and what comes back: the values at this room's door."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from placement.top.setting.setting import Setting

Floats = NDArray[np.float64]


class Style(StrEnum):
    """Rules for arranging."""

    SCATTERED = "scattered"
    FAMILIES = "families"
    REPEATING = "repeating"
    LIGHT_TO_DARK = "light to dark"


STYLES = tuple(Style)

Label = int | str
"""A fabric: its number in here; outside, where a cause or problem is handed on, its id."""


class Stage(StrEnum):
    """What is going on while something takes long."""

    REACH = "reach"
    SPREAD = "spread"
    MEASURE = "measure"
    DONE = "done"
    CUT = "cut"
    TRY = "try"
    SAVE = "save"


@dataclass(frozen=True, slots=True)
class Doing:
    """What is going on, and what with."""

    stage: Stage
    """What."""
    name: str
    """The fabric as its owner calls it, or the size."""


Progress = Callable[[float, Stage | Doing], None]
"""Called with the share done (0 to 1) and what is going on; raising stops the work."""


def unwatched(_share: float, _doing: Stage | Doing) -> None:
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
    style: Style = Style.SCATTERED
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
    loudness: tuple[float, ...] | None = None
    """How loud each fabric is, 0 or more: loud ones are kept apart; None for all alike."""


class CauseKind(StrEnum):
    """Which argument shows that neighbours can't differ more."""

    NOTHING_TOUCHES = "nothing touches"
    LARGEST = "largest"
    ALONE = "alone"
    GROUP = "group"
    COPIES = "copies"
    CROWD = "crowd"
    CHECKERBOARD = "checkerboard"
    CHOOSY = "choosy"
    SEARCH = "search"


@dataclass(frozen=True, slots=True)
class Cause:
    """Why neighbours can't differ more, with the numbers of the argument."""

    kind: CauseKind
    """Which argument."""
    difference: float = 0.0
    """What no layout passes, CIEDE2000; of a crowd, how near its fabrics are to one another."""
    fabrics: tuple[Label, ...] = ()
    """The fabrics at fault, ascending by their number."""
    copies: int = 0
    """How many cells they fill."""
    room: int = 0
    """How many cells can lie apart."""
    cells: int = 0
    """How many cells there are."""
    sides: tuple[int, int] = (0, 0)
    """Cells of either colour of the layout as a checkerboard, the larger first."""
    accepts: tuple[tuple[int, tuple[Label, ...]], ...] = ()
    """Cells side by side that don't accept every fabric, each with what it accepts."""
    pairs: tuple[tuple[Label, Label], ...] = ()
    """Of a complete search: the pairs of fabrics that differ by just that."""

    def called(self, names: Sequence[str]) -> Cause:
        """Return the same cause with ids in place of the fabrics' numbers."""
        return self._with(lambda fabric: names[fabric] if isinstance(fabric, int) else fabric)

    def numbered(self, names: Sequence[str]) -> Cause:
        """Return the same cause with numbers in place of the fabrics' ids."""
        return self._with(lambda fabric: names.index(fabric) if isinstance(fabric, str) else fabric)

    def _with(self, label: Callable[[Label], Label]) -> Cause:
        def ids(fabrics: Sequence[Label]) -> tuple[Label, ...]:
            return tuple(map(label, fabrics))

        return replace(
            self,
            fabrics=ids(self.fabrics),
            accepts=tuple((cell, ids(few)) for cell, few in self.accepts),
            pairs=tuple((one, other) for one, other in map(ids, self.pairs)),
        )


class ProblemKind(StrEnum):
    """What kind of wish leaves no layout."""

    ALL_HOLES = "all holes"
    COPIES_SUM = "copies sum"
    PINNED_OFTEN = "pinned often"
    PIN_BARRED = "pin barred"
    ALL_BARRED = "all barred"
    NO_ROOM = "no room"
    NOTHING_LEFT = "nothing left"
    NOT_PICKED = "not picked"


@dataclass(frozen=True, slots=True)
class Problem:
    """A wish that leaves no layout."""

    kind: ProblemKind
    """Which kind."""
    fabric: Label | None = None
    """The fabric it is about."""
    cell: int | None = None
    """The cell it is about."""
    wanted: int = 0
    """How many cells or copies are asked for."""
    there: int = 0
    """How many there are instead."""

    def called(self, names: Sequence[str]) -> Problem:
        """Return the same problem with an id in place of the fabric's number."""
        if not isinstance(self.fabric, int):
            return self
        return replace(self, fabric=names[self.fabric])


class RequestError(ValueError):
    """A request that leaves no layout.

    Attributes
    ----------
    problem : Problem
        The same as a value.
    """

    def __init__(self, message: str, problem: Problem) -> None:
        super().__init__(message)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Reach:
    """How different the least different edge neighbours can be made (t* of the layout)."""

    best: float
    """The largest least difference found, CIEDE2000."""
    bound: float
    """No layout does better than this; equal to best when proved."""
    proved: bool
    """Whether best is the true optimum."""
    cause: Cause | None
    """Why it can't be better; None if only the numbers are known (see reach.why)."""
    layout: tuple[int, ...]
    """A layout that reaches best, -1 for a hole; empty if only the numbers are known."""
    end: float | None = None
    """The largest found with copies of a fabric still apart; None if it was not looked for."""

    def joined(self, other: Reach) -> Reach:
        """Return all that two searches found out of the same fabrics and cells."""
        better = other if other.best > self.best else self
        tighter = other if other.bound < self.bound else self
        proved = better.best >= tighter.bound
        ends = [found.end for found in (self, other) if found.end is not None]
        end = max(ends, default=None)
        return Reach(better.best, tighter.bound, proved, tighter.cause, better.layout, end)


class Promise(StrEnum):
    """What a scattered layout promises (see placement.top.arrange.promises)."""

    NEIGHBOURS = "neighbours"
    COPIES = "copies"
    EVENNESS = "evenness"
    BALANCE = "balance"
    REPEATS = "repeats"


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
    cause: Cause | None
    """Why neighbours can't differ more."""
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
    broken: tuple[Promise, ...] = ()
    """What is promised of a layout and not kept by this one."""


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

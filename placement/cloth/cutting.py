"""The values of cutting: pieces to cut, cloth to cut them from, a plan of cuts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from placement.cloth.forms import Form
from placement.cloth.handwork import Handwork
from placement.inches import Inches

Then = Literal[
    "",
    "cut once on the diagonal",
    "cut twice on the diagonals",
    "two at a time",
    "four at a time",
    "eight at a time",
    "strip set",
]
"""What happens to a piece after it is cut."""

Verdict = Literal["fits", "fits with stacking", "short", "undecided"]


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle to cut, with the seam allowance in it."""

    name: str
    """What it becomes, such as 'corner square' or 'side setting triangles'."""
    fabric: str
    """Id of its fabric; '' for a piece of a list without fabrics."""
    width: Inches
    """Cut size along the strip (across the width of cloth)."""
    height: Inches
    """Cut size across the strip: the strip's height."""
    count: int
    """How many, at least 1."""
    turn: bool = True
    """Whether it may be cut turned by a quarter (not in a directional print)."""
    then: Then = ""
    """What happens to it next."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth at hand for one fabric."""

    fabric: str
    """Id of the fabric."""
    form: Form
    """What it comes as."""
    count: int = 1
    """How many pieces of that form; for yardage always 1."""
    length: Inches | None = None
    """For yardage: the usable length at hand; None asks for the least length."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece's place on the cloth, or one strip.

    Sizes in inches from the top left of the squared-up cloth: x along the
    strip, y across it. Every cut runs from edge to edge of what it cuts.
    """

    number: int
    """Order of cutting, from 1."""
    kind: Literal["strip", "piece", "stack"]
    """A strip across the cloth, a piece of a strip, or a stacked column of a strip."""
    sheet: int
    """Which piece of cloth, from 0."""
    x: Inches
    """Left edge."""
    y: Inches
    """Top edge."""
    width: Inches
    """Along the strip."""
    height: Inches
    """Across the strip."""
    piece: str = ""
    """Name of the piece; '' for a strip or a stack."""
    turned: bool = False
    """Whether the piece lies turned by a quarter."""
    inside: int = 0
    """Number of the strip or stack it is cut from; 0 for a strip."""


class Aim(StrEnum):
    """What matters most in cutting."""

    SIMPLEST = "simplest"
    """Few instructions, few ruler settings, few cuts, for a little more cloth."""
    LEAST = "least"
    """The least cloth."""


@dataclass(frozen=True, slots=True)
class Otherwise:
    """What the plan of the other aim takes, told beside the one chosen."""

    used: Inches
    """Height of all its strips."""
    buy: Inches | None
    """For yardage: the length to buy; None otherwise."""
    handwork: Handwork
    """What it asks of the cutter."""


@dataclass(frozen=True, slots=True)
class Wider:
    """What the simplest plan would take from cloth with a little more usable width."""

    width: Inches
    """That usable width."""
    used: Inches
    """Height of all its strips."""
    buy: Inches | None
    """For yardage: the length to buy; None otherwise."""
    handwork: Handwork
    """What it asks of the cutter."""


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """How one fabric's pieces are cut from its cloth."""

    fabric: str
    """Id of the fabric."""
    cloth: Cloth
    """What they are cut from."""
    verdict: Verdict
    """Whether all pieces fit."""
    cuts: tuple[Cut, ...]
    """Strips first, then sub-cuts, in order."""
    used: Inches
    """Height of all strips on all sheets (for yardage: the length used)."""
    bound: Inches
    """Proved lower bound on that height."""
    spare: Inches
    """Height left over when it fits; 0 otherwise."""
    short: Inches
    """Least further height (or strips' width, see sentence) that is missing; 0 when it fits."""
    missing: tuple[tuple[str, int], ...]
    """Pieces that find no place: name and count."""
    buy: Inches | None
    """For yardage: the length to buy, rounded up as shops cut; None otherwise."""
    waste: float
    """Share of the used cloth that is no piece, 0 to 1."""
    sentence: str
    """The verdict in words with its numbers."""
    aim: Aim = Aim.LEAST
    """What mattered most."""
    handwork: Handwork = Handwork.NONE
    """What the plan asks of the cutter; nothing where it was not counted."""
    otherwise: Otherwise | None = None
    """The plan of the other aim; None where it was not asked for."""
    wider: Wider | None = None
    """What half an inch more of usable width would change; None if it would nothing."""

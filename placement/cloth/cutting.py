"""The values of cutting: pieces to cut, cloth to cut them from, a plan of cuts.

Facts only: what a piece is for, what becomes of it and how a plan ends are named by
enums and numbers. Words are made of them elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from placement.cloth.forms import Form
from placement.cloth.handwork import Handwork
from placement.inches import Inches


class PieceKind(StrEnum):
    """What a piece becomes in the quilt."""

    PATCH = "patch"
    """A whole patch of the block."""
    SET_STRIP = "set strip"
    """A strip of a strip set, which is cut into slices."""
    HALF_SQUARE = "half square"
    """Half-square triangles."""
    HALF_SQUARE_STRIP = "half-square strip"
    """A strip that half-square triangles are cut from, two layers at once."""
    QUARTER_SQUARE = "quarter square"
    """Quarter-square triangles."""
    HALF_RECTANGLE = "half rectangle"
    """Half-rectangle triangles."""
    LARGE_GOOSE = "large goose"
    """The large triangles of flying geese: squares or, one at a time, rectangles."""
    SMALL_GOOSE = "small goose"
    """The small triangles of flying geese."""
    PLAIN_BLOCK = "plain block"
    """A block of one patch between the others, or a cell left plain."""
    SIDE = "side"
    """Side setting triangles."""
    CORNER = "corner"
    """Corner setting triangles."""
    SASH = "sash"
    """A strip as long as a block."""
    LONG_SASH = "long sash"
    """A strip right across the quilt."""
    JOINED_SASH = "joined sash"
    """A strip across the cloth; such strips are joined and cut to length."""
    CORNERSTONE = "cornerstone"
    """A square where sashing meets."""
    HALF_CORNERSTONE = "half cornerstone"
    """Triangles where sashing meets the edge of the quilt."""
    BORDER = "border"
    """A strip across the cloth for a border."""
    BINDING = "binding"
    """A strip across the cloth for the binding."""
    BIAS_BINDING = "bias binding"
    """A square for binding on the bias."""

    @property
    def is_strip(self) -> bool:
        """Whether it is told as a strip, by its width and then its length."""
        return self in _STRIPS

    @property
    def is_joined(self) -> bool:
        """Whether it runs across the whole width of the cloth and is joined to others."""
        return self in _ACROSS


_ACROSS = (PieceKind.JOINED_SASH, PieceKind.BORDER, PieceKind.BINDING)
_STRIPS = (*_ACROSS, PieceKind.SET_STRIP, PieceKind.HALF_SQUARE_STRIP, PieceKind.SASH,
           PieceKind.LONG_SASH)  # fmt: skip


@dataclass(frozen=True, slots=True, order=True)
class Use:
    """What pieces are cut for."""

    kind: PieceKind
    """What they become."""
    number: int = 0
    """Which of several, from 1: borders from the centre outward; 0 where there is no choice."""


class Then(StrEnum):
    """What happens to a piece after it is cut."""

    SEWN = "sewn"
    """It is sewn as it is."""
    CUT_ONCE = "cut once"
    """It is cut once on the diagonal."""
    CUT_TWICE = "cut twice"
    """It is cut on both diagonals."""
    TWO = "two at a time"
    """Two units are made of it and its partner."""
    FOUR = "four at a time"
    """Four units are."""
    EIGHT = "eight at a time"
    """Eight units are."""
    STRIP_PAIR = "strip pair"
    """It is laid on a strip of the other cloth, and both are cut into triangles."""
    CORNERS = "corners"
    """Squares are sewn on the corners of a rectangle, one goose of each; it is one of them."""
    HALVES = "half squares first"
    """Two half-square units are made of it and its partner, and quarter-square units of these."""
    STRIP_SET = "strip set"
    """It is sewn into a strip set, which is cut into slices."""


class Fit(StrEnum):
    """Whether all pieces fit the cloth."""

    FITS = "fits"
    """They do."""
    STACKED = "fits with stacking"
    """They do if some are cut one above the other from a strip."""
    SHORT = "short"
    """They don't."""
    TOO_LARGE = "too large"
    """A piece is larger than the cloth, so that more of it does not help."""
    UNDECIDED = "undecided"
    """Neither a plan that fits nor a proof against one was found."""

    @property
    def fits(self) -> bool:
        """Whether the cloth suffices."""
        return self in (Fit.FITS, Fit.STACKED)


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle to cut, with the seam allowance in it."""

    use: Use
    """What it is for."""
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
    then: Then = Then.SEWN
    """What happens to it next."""

    @property
    def kind(self) -> PieceKind:
        """What it becomes."""
        return self.use.kind


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

    @property
    def height(self) -> Inches | None:
        """Usable height of one piece of it; None for yardage that is still to be bought."""
        return self.length if self.form.open_ended else self.form.height


class CutKind(StrEnum):
    """What a cut takes off."""

    STRIP = "strip"
    """A strip across the cloth."""
    STACK = "stack"
    """A column of a strip, which is cut into pieces one above the other."""
    PIECE = "piece"
    """A piece of a strip or of a stack."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece's place on the cloth, or one strip.

    Sizes in inches from the top left of the squared-up cloth: x along the
    strip, y across it. Every cut runs from edge to edge of what it cuts.
    """

    number: int
    """Order of cutting, from 1."""
    kind: CutKind
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
    use: Use | None = None
    """What the piece is for; None for a strip or a stack."""
    turned: bool = False
    """Whether the piece lies turned by a quarter."""
    inside: int = 0
    """Number of the strip or stack it is cut from; 0 for a strip."""

    @property
    def size(self) -> tuple[Inches, Inches]:
        """Width and height of the piece as it was asked for."""
        return (self.height, self.width) if self.turned else (self.width, self.height)


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
    two_grains: bool = False
    """Whether the least cloth has strips of strip sets turned, so that sets have two grains; then
    the simplest plan may ask for more, and cost more than the allowance."""


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
    halves: bool = False
    """Whether strips are halved at the fold then."""


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """How one fabric's pieces are cut from its cloth, and whether it suffices."""

    fabric: str
    """Id of the fabric."""
    cloth: Cloth
    """What they are cut from."""
    verdict: Fit
    """Whether all pieces fit."""
    cuts: tuple[Cut, ...]
    """Strips first, then sub-cuts, in order."""
    used: Inches
    """Height of all strips on all sheets (for yardage: the length used)."""
    bound: Inches
    """Proved lower bound on the height that all pieces take."""
    needed: Inches
    """Height of the strips that all pieces take in the best plan found, in one piece of cloth."""
    spare: Inches
    """Height left over when it fits; 0 otherwise."""
    short: Inches
    """Further height that is missing: of one piece of cloth, or of another piece beside several;
    by how much a piece is larger than the cloth; 0 when it fits."""
    missing: tuple[tuple[Piece, int], ...]
    """Pieces that find no place, and how many of each."""
    buy: Inches | None
    """For yardage: the length to buy, rounded up as shops cut; None otherwise."""
    waste: float
    """Share of the used cloth that is no piece, 0 to 1."""
    too_large: Piece | None = None
    """A piece that fits the cloth neither way round."""
    sold_short: Inches | None = None
    """What is missing of a pre-cut's height if nothing is lost to squaring it up: 0 if all pieces
    fit it as sold; None where that was not asked, or nothing is lost."""
    enough: int | None = None
    """Least count of the form found to suffice where it falls short, and of squares always; None
    where no count does, or it was not asked."""
    aim: Aim = Aim.LEAST
    """What mattered most."""
    handwork: Handwork = Handwork.NONE
    """What the plan asks of the cutter; nothing where it was not counted."""
    otherwise: Otherwise | None = None
    """The plan of the other aim; None where it was not asked for."""
    wider: Wider | None = None
    """What half an inch more of usable width would change; None if it would nothing."""
    like: str = ""
    """Id of the fabric whose plan this is, which needs more pieces; '' where it is its own."""
    surplus: tuple[tuple[Piece, int], ...] = ()
    """Pieces that are over for that, and how many of each."""

"""A pattern as one value: the brief that was given and the plan made of it.

Both have one JSON form that round-trips (see planner.to_json and from_json).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

from palette.fabric import Fabric
from palette.photo.reference import Reference
from palette.picking.choice import Choice, Contrast, Limits
from placement.block import Block, load_block, parse_block
from placement.cloth.pieces import Method
from placement.inches import Inches
from placement.top.request import Quality, Style
from placement.top.setting.finishing import QUARTER, Corner, Grain, Join
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

LONGEST_NAME = 80
"""Characters of a fabric's name that are kept."""

ASSUMED_WIDTH = Inches.parse(10)
"""Width of cloth a photo is taken to show unless it is given: a ten-inch square."""

MOST_SHRINKAGE = 20
"""Per cent; published samples of quilting cotton shrink by 3 to 10."""

MOST_BORDERS = 8
"""Borders a quilt may have."""

FABRIC_USES = {
    "binding_fabric": "binding",
    "backing_fabric": "backing",
    "second_fabric": "second feature",
    "sashing_fabric": "sashing",
    "cornerstone_fabric": "cornerstones",
}
"""Fields of a brief that name a fabric or background for one use, '' for none; and that use."""

DEFAULT_SETTING = Setting("on point", 6, 7, Inches.parse("8 1/2"))
"""What a plan starts with."""


Role = Literal["fabric", "background", "thread"]
"""What a swatch is for: the bundle, a candidate background, a candidate quilting thread."""

Units = Literal["inches", "metric"]
"""What lengths are shown in."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """A fabric of the bundle (or a background), its picture, and what was decided on it."""

    fabric: Fabric
    """Its colours as read from the photo."""
    picture: str
    """Name of its cleaned picture in the swatch store: the SHA-256 of its bytes, in hex."""
    shows: Inches = ASSUMED_WIDTH
    """Width of cloth the picture shows."""
    shows_given: bool = False
    """Whether that width was given, not assumed."""
    must_use: bool = False
    """Always among the chosen fabrics."""
    leave_out: bool = False
    """Never among the chosen fabrics."""
    directional: bool = False
    """Whether the print has an up and a down."""
    reference: Reference | None = None
    """What its colours were corrected by; good for other photos in the same light."""

    def __post_init__(self) -> None:
        if self.must_use and self.leave_out:
            raise ValueError(
                f"{self.fabric.name!r} is marked both 'must use' and 'leave out'; drop one mark"
            )
        if self.shows.value <= 0:
            raise ValueError(f"the photo of {self.fabric.name!r} must show more than 0 inches")


@dataclass(frozen=True, slots=True)
class Pin:
    """A cell whose fabric must stay, or (empty fabric) a cell left as background."""

    cell: int
    """Index into setting.cells()."""
    fabric: str
    """A fabric's id, or '' to leave the cell plain."""


@dataclass(frozen=True, slots=True)
class Share:
    """How many cells one fabric is to fill."""

    fabric: str
    """A fabric's id."""
    cells: int
    """At least 0."""


@dataclass(frozen=True, slots=True)
class Ban:
    """Fabrics that must not lie in a cell."""

    cell: int
    """Index into setting.cells()."""
    fabrics: tuple[str, ...]
    """Fabric ids."""


@dataclass(frozen=True, slots=True)
class Band:
    """One border."""

    width: Inches
    """Finished width, above 0."""
    fabric: str = ""
    """Id of its fabric; '' takes the background."""

    def __post_init__(self) -> None:
        if not self.width.value:
            raise ValueError("a border needs a width above 0; leave it out to have none")


@dataclass(frozen=True, slots=True)
class OwnCloth:
    """The cloth at hand for one fabric, where it is not the usual form."""

    fabric: str
    """A fabric's id."""
    form: str
    """Name of a form of cloth (see placement.cloth.forms)."""
    count: int = 1
    """Pieces of that form."""
    length: Inches | None = None
    """For yardage: the usable length at hand; None asks what to buy."""
    width: Inches | None = None
    """Usable width as measured; None takes the form's."""
    height: Inches | None = None
    """Usable height of a pre-cut as measured; None takes the form's."""


@dataclass(frozen=True, slots=True)
class Sewing:
    """What the designer decides about cutting and finishing."""

    seam: Inches = QUARTER
    """Seam allowance."""
    triangles: Method = "two"
    """How half-square units are made: one, two, four or eight at a time."""
    form: str = "fat quarter"
    """Form that the fabrics come in unless told otherwise."""
    cloths: tuple[OwnCloth, ...] = ()
    """Fabrics whose cloth is another; background and border are yardage unless told here."""
    corner: Corner = "butted"
    """How border corners are made."""
    binding: Inches = field(default_factory=lambda: Inches.parse("2 1/2"))
    """Width to cut the binding."""
    join: Join = "diagonal"
    """How binding strips are joined."""
    extra: Inches = field(default_factory=lambda: Inches.parse(12))
    """Binding added for corners and overlap."""
    margin: Inches = field(default_factory=lambda: Inches.parse(4))
    """Backing and batting beyond the quilt, on every side."""
    side_square: Inches | None = None
    """Her own size of square for side triangles, if she has one."""
    corner_square: Inches | None = None
    """Her own size of square for corner triangles, if she has one."""
    squaring: Inches = QUARTER
    """Lost at the end of each strip set when it is squared up."""
    grain: Grain = "straight"
    """Of the binding: strips across the cloth, or one long strip on the bias."""
    shrinkage: float = 3.0
    """Per cent that yardage loses in the wash before it is cut, 0 to 20; pre-cuts stay unwashed."""

    def __post_init__(self) -> None:
        if not 0 <= self.shrinkage <= MOST_SHRINKAGE:
            raise ValueError(
                f"cloth shrinks by 0 to {MOST_SHRINKAGE} per cent, not {self.shrinkage:g}"
            )

    @property
    def shrunk(self) -> Fraction:
        """The share of its length that yardage loses, exact."""
        return Fraction(str(self.shrinkage)) / 100

    def in_units(self, units: Units) -> Sewing:
        """Return the same terms for work in those units: what is as usual stays so.

        Lengths that a designer chose for herself are hers and stay.
        """
        inches, metric = Sewing(), _METRIC_SEWING
        old, new = (inches, metric) if units == "metric" else (metric, inches)
        usual = ("seam", "binding", "extra", "margin", "squaring")
        moved = {n: getattr(new, n) for n in usual if getattr(self, n) == getattr(old, n)}
        return replace(self, **moved)


_METRIC_SEWING = Sewing(
    seam=Inches.parse("7.5 mm"),
    binding=Inches.parse("65 mm"),
    extra=Inches.parse("300 mm"),
    margin=Inches.parse("100 mm"),
    squaring=Inches.parse("10 mm"),
)
"""The usual terms of metric work, common practice: with seams of 7.5 mm every size is 15 mm
more than finished, on the ruler; the others are those in inches up to the next 5 mm or nearly."""


@dataclass(frozen=True, slots=True)
class OwnBlock:
    """A block of the designer's own, in the form of a block's data file (placement.block)."""

    name: str
    """What it is called."""
    columns: tuple[str, ...]
    """Relative finished widths, such as ('4', '9', '4')."""
    rows: tuple[str, ...]
    """Relative finished heights."""
    patches: tuple[str, ...]
    """One text a row of the grid, a patch a word."""

    def drawn(self) -> Block:
        """Return the block; ValueError lists every fault of its form."""
        data = {"columns": [*self.columns], "rows": [*self.rows], "patches": [*self.patches]}
        return parse_block({"name": self.name, **data})


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything the designer decides."""

    title: str = "Untitled quilt"
    """Name of the pattern."""
    swatches: tuple[Swatch, ...] = ()
    """The bundle, in the order it was given."""
    backgrounds: tuple[Swatch, ...] = ()
    """Candidate backgrounds."""
    background: str = ""
    """Id of the chosen candidate; '' takes the one on which most fabrics are clear."""
    threads: tuple[Swatch, ...] = ()
    """Candidate threads to quilt with; plain ones are always judged beside them."""
    thread: str = ""
    """Id of the chosen thread, her own or a plain one; '' for none yet."""
    count: int | None = None
    """How many fabrics to use; None uses all that survive."""
    limits: Limits = field(default_factory=Limits)
    """Thresholds of contrast and likeness."""
    setting: Setting = DEFAULT_SETTING
    """Cells, block size and sashing."""
    sashing_fabric: str = ""
    """Id of the sashing's fabric; '' takes the background."""
    cornerstone_fabric: str = ""
    """Id of the cornerstones' fabric; '' takes the sashing's."""
    block: str = "sawtooth-star"
    """Short name of the block (see placement.block)."""
    own_block: OwnBlock | None = None
    """A block of the designer's own, in place of the named one."""
    borders: tuple[Band, ...] = (Band(Inches.parse(4)),)
    """Borders, from the quilt's centre outward."""
    binding_fabric: str = ""
    """Id of the binding's fabric; '' takes the outermost border's, else the background."""
    backing_fabric: str = ""
    """Id of the backing's fabric; '' leaves it to be bought."""
    second_fabric: str = ""
    """Id of the fabric of every second feature; '' takes the feature's own."""
    style: Style = "scattered"
    """Arranging rule."""
    apart: float = 0.5
    """Least neighbour difference as a part of the furthest reachable, 0 to 1."""
    copies: tuple[Share, ...] = ()
    """Cells a fabric; empty shares them out equally."""
    families: tuple[Share, ...] = ()
    """Family (cells = 0 or 1) of each fabric for style 'families'; empty finds them."""
    pins: tuple[Pin, ...] = ()
    """Cells fixed by hand."""
    bans: tuple[Ban, ...] = ()
    """Fabrics kept out of cells."""
    turn: bool = True
    """Whether every other block may be turned so that seams nest."""
    sewing: Sewing = field(default_factory=Sewing)
    """Cutting and finishing."""
    seed: int = 1
    """Same brief and seed, same plan."""
    units: Units = "inches"
    """What lengths are shown in."""

    def __post_init__(self) -> None:
        if len(self.borders) > MOST_BORDERS:
            raise ValueError(f"a quilt takes {MOST_BORDERS} borders, not {len(self.borders)}")

    @property
    def edge(self) -> float:
        """Finished width of all borders together, inches."""
        return sum(float(band.width) for band in self.borders)

    def size(self) -> tuple[float, float]:
        """Return the finished width and height with the borders, in inches."""
        edge = 2 * self.edge
        return self.setting.width + edge, self.setting.height + edge

    def named(self) -> Iterator[tuple[str, str]]:
        """Yield every fabric or background named for a use of its own, and that use."""
        yield from ((band.fabric, "border") for band in self.borders if band.fabric)
        for name, use in FABRIC_USES.items():
            fabric = getattr(self, name)
            if fabric:
                yield fabric, use

    def everything(self) -> tuple[Swatch, ...]:
        """Return every swatch: the bundle, the backgrounds and the threads."""
        return (*self.swatches, *self.backgrounds, *self.threads)

    def of_role(self, role: Role) -> tuple[Swatch, ...]:
        """Return the swatches that serve one purpose."""
        if role == "fabric":
            return self.swatches
        return self.backgrounds if role == "background" else self.threads

    def pattern(self) -> Block:
        """Return the block in use; ValueError if there is none of that name or it has faults."""
        return self.own_block.drawn() if self.own_block else load_block(self.block)


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything one pattern is. A plan that cannot be made lists its problems."""

    brief: Brief
    """What was asked."""
    background: str
    """Id of the background in use; '' if there is none."""
    contrasts: tuple[Contrast, ...]
    """Every fabric against every candidate background."""
    choice: Choice | None
    """Which fabrics are used; None without fabrics."""
    layout: Layout | None
    """Which fabric lies where; None if nothing could be arranged."""
    quality: Quality | None
    """How good the layout is."""
    problems: tuple[str, ...] = ()
    """Everything that stands in the way, in words."""
    by_hand: bool = False
    """Whether cells were changed by hand after arranging."""
    format: int = 2
    """Version of this form (see api.pattern.migrations for earlier ones)."""

    def swatch(self, fabric: str) -> Swatch:
        """Return the swatch of a fabric, background or thread by its id; KeyError without one."""
        for swatch in self.brief.everything():
            if swatch.fabric.id == fabric:
                return swatch
        raise KeyError(fabric)

    @property
    def border_fabrics(self) -> tuple[str, ...]:
        """Ids of the fabrics that the borders are cut from, from the centre outward."""
        return tuple(band.fabric or self.background for band in self.brief.borders)

    @property
    def binding_fabric(self) -> str:
        """Id of the fabric that the binding is cut from."""
        return self.brief.binding_fabric or (self.background, *self.border_fabrics)[-1]

    @property
    def directional(self) -> bool:
        """Whether a chosen fabric's print has an up and a down, so that no block is turned."""
        kept = self.choice.kept if self.choice else ()
        return any(self.swatch(fabric).directional for fabric in kept)

    @property
    def sashing_fabric(self) -> str:
        """Id of the fabric that sashing is cut from; '' without sashing or background."""
        if not self.brief.setting.sashing.value:
            return ""
        return self.brief.sashing_fabric or self.background

    @property
    def cornerstone_fabric(self) -> str:
        """Id of the fabric that cornerstones are cut from; '' without cornerstones."""
        if not self.brief.setting.cornerstones or not self.sashing_fabric:
            return ""
        return self.brief.cornerstone_fabric or self.sashing_fabric

    def contrast(self, fabric: str) -> Contrast | None:
        """Return how a fabric stands on the background in use; None without one."""
        for entry in self.contrasts:
            if (entry.fabric, entry.background) == (fabric, self.background):
                return entry
        return None

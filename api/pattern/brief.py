"""Everything the designer decides, as one value."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from api.pattern.sewing import Sewing, Units
from api.pattern.swatch import Role, Swatch
from palette.picking.choice import Limits
from placement.block import Block, load_block, parse_block
from placement.inches import Inches
from placement.top.request import Style
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterator

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


@dataclass(frozen=True, slots=True)
class Pin:
    """A cell whose fabric must stay, or (empty fabric) a cell left as background."""

    cell: int
    """Index into setting.cells()."""
    fabric: str
    """A fabric's id, or '' to leave the cell plain."""


@dataclass(frozen=True, slots=True)
class Copies:
    """How many cells one fabric is to fill."""

    fabric: str
    """A fabric's id."""
    cells: int
    """At least 0."""


@dataclass(frozen=True, slots=True)
class Family:
    """Which of two colour families a fabric is of."""

    fabric: str
    """A fabric's id."""
    family: int
    """0 or 1."""


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
    copies: tuple[Copies, ...] = ()
    """Cells a fabric; empty shares them out equally."""
    families: tuple[Family, ...] = ()
    """Family of each fabric for style 'families'; empty finds them."""
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

"""What goes over the wire to the program: the bodies that are taken."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    WithJsonSchema,
)

from api.pattern.brief import MOST_BORDERS
from api.pattern.sewing import MOST_SHRINKAGE
from api.pattern.swatch import LONGEST_NAME, Role
from palette.colour import HEX, parse_hex
from placement.inches import Inches
from placement.top.request import Style

LONGEST_TITLE = 120
LONGEST_LENGTH = 1000
"""Inches; more than any quilt, and a guard against a slip of the keyboard."""
MOST_BLOCKS = 50
"""Blocks across or down."""
MOST_SEED = 2**31 - 1


def _plain(text: str) -> str:
    """Take control characters out and surplus blanks away; refuse what is empty then."""
    kept = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    if not kept:
        raise ValueError("write at least one character that can be seen")
    return kept


def _length_in(given: object) -> object:
    if isinstance(given, bool) or not isinstance(given, str | int | float | Inches):
        raise ValueError("a length is text such as '8 1/2' or '215 mm', or a number of inches")
    return given


def _sane(length: Inches) -> Inches:
    if length.value > LONGEST_LENGTH:
        raise ValueError(f"a length may be at most {LONGEST_LENGTH} inches")
    return length


Title = Annotated[
    str, StringConstraints(min_length=1, max_length=LONGEST_TITLE), AfterValidator(_plain)
]
Name = Annotated[
    str, StringConstraints(min_length=1, max_length=LONGEST_NAME), AfterValidator(_plain)
]
Id = Annotated[str, StringConstraints(max_length=60)]
Cell = Annotated[int, Field(ge=0, lt=10_000, description="Index of a block.", examples=[0])]
Length = Annotated[
    Inches,
    BeforeValidator(_length_in),
    AfterValidator(_sane),
    WithJsonSchema(
        {
            "title": "Length",
            "description": "Inches as a mixed fraction or a decimal; or mm, or cm.",
            "anyOf": [
                {
                    "type": "string",
                    "pattern": r"^([0-9]{1,3}( [0-9]{1,2}/[1-9][0-9]?)?|[0-9]{1,3}\.[0-9]{1,4})"
                    r"( ?(in|mm|cm))?$",
                },
                {"type": "number", "minimum": 0, "maximum": LONGEST_LENGTH},
            ],
            "examples": ["8 1/2", "215 mm"],
        }
    ),
]


class Wish(BaseModel):
    """A body: unknown fields and wrong types are refused."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)

    def given(self) -> dict[str, Any]:
        """Return the fields that were sent with a value."""
        values = {name: getattr(self, name) for name in self.model_fields_set}
        return {name: value for name, value in values.items() if value is not None}


class NewPlan(Wish):
    """What to begin with."""

    title: Title | None = Field(
        default=None, description="Name of the pattern.", examples=["Orchard"]
    )
    sample: bool = Field(
        default=False, description="Whether to begin with a copy of the finished sample."
    )
    pattern_of: Id | None = Field(
        default=None,
        description="A plan whose pattern to try with other fabrics, by its id or the word of "
        "its link; that plan never changes.",
    )
    copy_of: Id | None = Field(
        default=None, description="A plan to begin a variant of: a full copy with its fabrics."
    )


class SettingChange(Wish):
    """How blocks are put together; what is left out stays as it is."""

    kind: Literal["on point", "straight"] | None = None
    across: int | None = Field(default=None, ge=1, le=MOST_BLOCKS, description="Blocks across.")
    down: int | None = Field(default=None, ge=1, le=MOST_BLOCKS, description="Blocks down.")
    block_size: Length | None = Field(default=None, description="Finished side of a block.")
    alternate: bool | None = Field(default=None, description="Every other block plain background.")
    sashing: Length | None = Field(
        default=None, description="Finished width of the strips round every block; 0 for none."
    )
    cornerstones: bool | None = Field(default=None, description="Squares where strips meet.")


class LimitsChange(Wish):
    """Thresholds (see the plan's limits); what is left out stays as it is."""

    lost: float | None = Field(default=None, ge=0, le=100)
    clear: float | None = Field(default=None, ge=0, le=100)
    lightness: float | None = Field(default=None, ge=0, le=100)
    lightness_alone: float | None = Field(default=None, ge=0, le=100)
    camouflage: float | None = Field(default=None, ge=0, le=1)
    camouflage_warn: float | None = Field(default=None, ge=0, le=1)
    near: float | None = Field(default=None, ge=0, le=100)
    twin_far: float | None = Field(default=None, ge=0, le=100)
    twin_close: float | None = Field(default=None, ge=0, le=100)


class CopiesIn(Wish):
    """How many cells a fabric fills."""

    fabric: Id
    cells: int = Field(ge=0, lt=10_000)


class FamilyIn(Wish):
    """Which of two colour families a fabric is of."""

    fabric: Id
    family: int = Field(ge=0, le=1)


class PinIn(Wish):
    """A block that stays: a fabric's id, or '' for a block left as background."""

    cell: Cell
    fabric: Id


class BanIn(Wish):
    """Fabrics kept out of a block."""

    cell: Cell
    fabrics: list[Id] = Field(max_length=300)


class ClothIn(Wish):
    """The cloth at hand for a fabric, where it is not the usual form."""

    fabric: Id
    form: str = Field(max_length=40, description="A form of cloth.", examples=["fat eighth"])
    count: int = Field(default=1, ge=1, le=100, description="Pieces of that form.")
    length: Length | None = Field(default=None, description="For yardage: what is at hand.")
    width: Length | None = Field(default=None, description="Usable width as measured.")
    height: Length | None = Field(default=None, description="Usable height as measured.")


class SewingChange(Wish):
    """Cutting and finishing; what is left out stays as it is."""

    seam: Length | None = Field(default=None, description="Seam allowance.")
    triangles: Literal["one", "two", "four", "eight"] | None = Field(
        default=None, description="Half-square units at a time."
    )
    form: str | None = Field(default=None, max_length=40, description="Usual form of the fabrics.")
    cloths: list[ClothIn] | None = Field(default=None, max_length=300)
    corner: Literal["butted", "mitred"] | None = Field(default=None, description="Of the border.")
    binding: Length | None = Field(default=None, description="Width to cut the binding.")
    join: Literal["diagonal", "straight"] | None = Field(
        default=None, description="How binding strips are joined."
    )
    extra: Length | None = Field(default=None, description="Binding for corners and overlap.")
    margin: Length | None = Field(default=None, description="Backing beyond the quilt, a side.")
    side_square: Length | None = Field(default=None, description="Her own side square; 0 for none.")
    corner_square: Length | None = Field(
        default=None, description="Her own corner square; 0 for none."
    )
    squaring: Length | None = Field(default=None, description="Lost when a strip set is squared.")
    grain: Literal["straight", "bias"] | None = Field(default=None, description="Of the binding.")
    shrinkage: float | None = Field(
        default=None,
        ge=0,
        le=MOST_SHRINKAGE,
        description="Per cent that yardage loses in the wash; pre-cuts are not washed.",
        examples=[3],
    )


class BandIn(Wish):
    """One border."""

    width: Length = Field(description="Finished width, above 0.", examples=["4 1/2"])
    fabric: Id = Field(default="", description="A fabric's id; '' takes the background.")


class OwnBlockIn(Wish):
    """A block of the designer's own, in the form of a block's data file."""

    name: Title
    columns: list[Annotated[str, StringConstraints(max_length=12)]] = Field(max_length=24)
    rows: list[Annotated[str, StringConstraints(max_length=12)]] = Field(max_length=24)
    patches: list[Annotated[str, StringConstraints(max_length=160)]] = Field(max_length=24)


class BriefChange(Wish):
    """Any of the designer's decisions; what is left out, or null, stays as it is.

    Only ``count`` takes null as a value: all fabrics that survive. When the
    setting gets other cells, pins and bans are dropped unless they are given.
    """

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "setting": {"across": 4, "down": 5},
                    "count": 18,
                    "borders": [{"width": "1 1/2"}, {"width": "4"}],
                }
            ]
        }
    )

    title: Title | None = Field(default=None, description="Name of the pattern.")
    background: Id | None = Field(
        default=None, description="A candidate's id; '' takes the best one."
    )
    thread: Id | None = Field(
        default=None, description="Id of a candidate or a plain thread; '' for none yet."
    )
    count: int | None = Field(default=None, ge=1, le=300, description="How many fabrics to use.")
    limits: LimitsChange | None = None
    setting: SettingChange | None = None
    sashing_fabric: Id | None = Field(
        default=None, description="A fabric's id; '' takes the background."
    )
    cornerstone_fabric: Id | None = Field(
        default=None, description="A fabric's id; '' takes the sashing's."
    )
    block: Id | None = Field(default=None, description="A block's short name.")
    own_block: OwnBlockIn | None = Field(
        default=None, description="A block of her own; naming a block takes it away."
    )
    sewing: SewingChange | None = None
    borders: list[BandIn] | None = Field(
        default=None,
        max_length=MOST_BORDERS,
        description="From the centre outward; an empty list for none.",
    )
    binding_fabric: Id | None = Field(
        default=None,
        description="A fabric's id; '' takes the outermost border's, else the background.",
    )
    backing_fabric: Id | None = Field(
        default=None, description="A fabric's id; '' leaves it to be bought."
    )
    second_fabric: Id | None = Field(
        default=None,
        description="Id of the fabric of second features; '' takes the feature's own.",
    )
    style: Style | None = Field(default=None, description="Arranging rule.")
    apart: float | None = Field(
        default=None,
        ge=0,
        le=1,
        description="Least neighbour difference, part of the furthest reachable.",
    )
    copies: list[CopiesIn] | None = Field(
        default=None, max_length=300, description="Cells each fabric fills."
    )
    families: list[FamilyIn] | None = Field(
        default=None, max_length=300, description="Family of each fabric."
    )
    pins: list[PinIn] | None = Field(
        default=None, max_length=10_000, description="Blocks that stay."
    )
    bans: list[BanIn] | None = Field(
        default=None, max_length=10_000, description="What must not lie where."
    )
    turn: bool | None = Field(
        default=None, description="Whether blocks are turned so that seams nest."
    )
    seed: int | None = Field(
        default=None, ge=0, le=MOST_SEED, description="Another seed, another layout."
    )
    units: Literal["inches", "metric"] | None = Field(
        default=None, description="How lengths are shown."
    )


class FabricChange(Wish):
    """What to change about a fabric; what is left out, or null, stays as it is.

    Marking one of must_use and leave_out takes the other mark away.
    """

    name: Name | None = Field(
        default=None, description="What people call it.", examples=["Quince dots"]
    )
    must_use: bool | None = Field(default=None, description="Always among the chosen.")
    leave_out: bool | None = Field(default=None, description="Never among the chosen.")
    directional: bool | None = Field(default=None, description="The print has an up and a down.")
    shows: Length | None = Field(default=None, description="Width of cloth the photo shows.")


class ColourIn(Wish):
    """A colour typed or picked by hand, to serve as a solid."""

    colour: Annotated[
        str,
        AfterValidator(parse_hex),
        WithJsonSchema({"title": "Colour", "type": "string", "pattern": f"^{HEX}$"}),
    ] = Field(description="A web colour.", examples=["#a83e32"])
    name: Name | None = Field(
        default=None, description="Unless given it is called by its colour.", examples=["Brick"]
    )
    role: Role = Field(default="fabric", description="What it is for.")


class PickSwap(Wish):
    """A chosen fabric to leave out, and a left-out one to use in its place."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"out": "moss", "in": "fern"}]})

    out: Id = Field(description="Id of a chosen fabric.")
    into: Id = Field(alias="in", description="Id of a left-out one.")
    keep: bool = Field(
        default=False, description="Whether the other chosen ones must stay, each marked so."
    )


class Arranging(Wish):
    """How to arrange."""

    seed: int | None = Field(
        default=None, ge=0, le=MOST_SEED, description="Without one: the next after the plan's."
    )


class SwapIn(Wish):
    """Two blocks to exchange."""

    first: Cell
    second: Cell


class PinState(Wish):
    """Whether a block is locked."""

    pinned: bool = Field(examples=[True])

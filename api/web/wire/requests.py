"""What goes over the wire to the program: the bodies that are taken.

Those that change decisions follow from the decisions (see api.pattern.changes).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import AfterValidator, ConfigDict, Field, StringConstraints, WithJsonSchema

from api.pattern.brief import MOST_SEED, Brief
from api.pattern.changes import Wish, length, one, takes
from api.pattern.parts import FABRIC, SWATCH
from api.pattern.swatch import Role, Swatch
from palette.colour import HEX, parse_hex
from palette.fabric import LONGEST_ID, Fabric
from placement.inches import Inches
from placement.top.setting.setting import MOST_CELLS

if TYPE_CHECKING:
    Title = str
    Name = str
    Length = Inches
else:
    Title = one(Brief, "title")
    Name = one(Fabric, "name", FABRIC)
    Length = length("A length.")
Id = Annotated[str, StringConstraints(max_length=LONGEST_ID)]
Cell = Annotated[int, Field(ge=0, lt=MOST_CELLS, description="Index of a block.", examples=[0])]


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


@takes(Brief)
class BriefChange(Wish):
    """Any of the designer's decisions; what is left out stays as it is, and so does null.

    Null is a value only where there may be none: ``count`` (all fabrics that stand
    out), ``own_block``, and squares of one's own. When the setting gets other
    cells, pins and bans are dropped unless they are given.
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


@takes(Swatch, SWATCH)
@takes(Fabric, FABRIC)
class FabricChange(Wish):
    """What to change about a fabric; what is left out, or null, stays as it is.

    Marking one of must_use and leave_out takes the other mark away.
    """


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

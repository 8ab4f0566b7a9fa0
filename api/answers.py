"""What goes over the wire to a client: the answers that are given."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

from api.plan import Plan
from placement.cloth.precuts import Form


class Health(BaseModel):
    """That the server is there."""

    status: Literal["ok"] = "ok"
    version: str = Field(description="Version of the program.", examples=["0.1.0"])


class PatchOut(BaseModel):
    """One part of a block."""

    role: str = Field(
        pattern="^[FSB]$", description="Feature (F), second feature (S) or background (B)."
    )
    points: list[tuple[float, float]] = Field(description="Corners, 0 to 1 from the top left.")


class BlockOut(BaseModel):
    """A block that can be chosen."""

    name: str = Field(description="Short name, as in a brief.", examples=["sawtooth-star"])
    title: str = Field(description="What quilters call it.", examples=["Sawtooth star"])
    patches: list[PatchOut] = Field(description="Its parts.")


class FormOut(BaseModel):
    """A form of cloth."""

    name: str = Field(examples=["fat quarter"])
    nominal: str = Field(description="Size as named.", examples=["18 x 21"])
    usable: str = Field(description="Size after squaring up.", examples=["17 1/2 x 20 1/2"])
    yardage: bool = Field(description="Whether it is cut from the bolt.")

    @classmethod
    def of(cls, form: Form) -> FormOut:
        """Return a form as it goes over the wire."""
        return cls(
            name=form.name, nominal=form.nominal(), usable=form.size(), yardage=form.open_ended
        )


class PlanLine(BaseModel):
    """One line of the list of plans."""

    id: str
    title: str
    revision: int
    saved_at: str = Field(description="UTC, ISO 8601.", examples=["2030-05-01T09:30:00.000Z"])


class RevisionLine(BaseModel):
    """One change of a plan."""

    revision: int
    made_at: str = Field(description="UTC, ISO 8601.", examples=["2030-05-01T09:30:00.000Z"])
    what: str = Field(description="What was done.", examples=["Swapped two blocks"])


class Size(BaseModel):
    """Finished size with the border."""

    width: float = Field(description="Inches.")
    height: float = Field(description="Inches.")
    words: str = Field(description="In the plan's units.", examples=["72 1/8 x 84 1/8 in"])


class CellOut(BaseModel):
    """Where a block lies."""

    x: float = Field(description="Middle, inches from the left of the centre.")
    y: float = Field(description="Middle, inches from the top of the centre.")
    row: int
    column: int
    plain: bool = Field(default=False, description="A plain alternate block; these come last.")


class AroundOut(BaseModel):
    """A piece of cloth around the blocks."""

    part: str = Field(
        pattern="^(plain block|side triangle|corner triangle|border|binding)$",
        description="What it is in the quilt.",
        examples=["border"],
    )
    fabric: str = Field(description="Its fabric's id; '' while none is chosen.")
    points: list[tuple[float, float]] = Field(
        description="Corners in inches from the top left of the finished quilt; the binding lies "
        "outside it, at most a seam allowance beyond."
    )


class CentreOut(BaseModel):
    """Where the blocks' part of the quilt lies, and how its blocks stand."""

    x: float = Field(description="Left edge of the centre, inches from that of the quilt.")
    y: float = Field(description="Top edge of the centre, inches from that of the quilt.")
    turn: Literal[0, 45] = Field(description="Degrees that every block is turned by.")
    side: float = Field(description="Finished side of a block, inches.")


class Verdicts(BaseModel):
    """How many fabrics stand how against one background."""

    clear: int = 0
    soft: int = 0
    camouflage: int = 0
    lost: int = 0


class PlanView(BaseModel):
    """A plan and what a page needs to show it."""

    id: str
    revision: int = Field(description="For If-Match.")
    can_undo: bool
    can_redo: bool
    plan: Plan
    colours: dict[str, str] = Field(description="What each fabric reads as, by id: #rrggbb.")
    pictures: dict[str, str] = Field(description="Address of each fabric's picture, by id.")
    summary: list[str] = Field(description="The plan in sentences, the most important first.")
    size: Size
    cells: list[CellOut] = Field(description="The blocks by index, then the plain ones.")
    around: list[AroundOut] = Field(description="Every piece that is no pieced block.")
    centre: CentreOut
    verdicts: dict[str, Verdicts] = Field(description="By background id.")


class PhotoResult(BaseModel):
    """What became of one photo."""

    file: str = Field(description="The name it was sent under.")
    fabric: str | None = Field(description="Id of the fabric read from it.")
    problem: str | None = Field(description="Why it could not be read and what to do.")


class Uploaded(BaseModel):
    """What became of the photos, and the plan with them."""

    results: list[PhotoResult] = Field(description="In the order of the photos.")
    plan: PlanView


class SwapOut(BaseModel):
    """Two blocks whose exchange would improve the layout."""

    first: int
    second: int
    gain: float = Field(description="In standard deviations of a random layout.")
    closest_after: float = Field(description="Least neighbour difference then, CIEDE2000.")

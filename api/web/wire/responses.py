"""What goes over the wire to a client: the answers that are given."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

from api.pattern.plan import Plan
from api.web.wire.patch import Operation
from api.web.wire.patches_shown import PatchesOut
from api.wording.english import by
from api.wording.lengths import Lengths
from api.wording.pieces import form_name
from palette.eyes import Eyes
from placement.block import Block
from placement.cloth.forms import Form, FormKind
from placement.inches import Units


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

    @classmethod
    def of(cls, name: str, block: Block) -> BlockOut:
        """Return a block as it goes over the wire."""
        patches = [
            PatchOut(role=role, points=[(float(x), float(y)) for x, y in points])
            for patch in block.patches
            for role, points in patch.parts()
        ]
        return cls(name=name, title=block.name, patches=patches)


class FormOut(BaseModel):
    """A form of cloth."""

    kind: FormKind = Field(examples=["fat quarter"])
    units: Units = Field(description="Units it is sold in.")
    name: str = Field(description="What the trade calls it.", examples=["fat quarter"])
    nominal: str = Field(description="Size as named.", examples=["18 in x 21 in"])
    usable: str = Field(description="Size after squaring up.", examples=["17 1/2 in x 20 1/2 in"])
    yardage: bool = Field(description="Whether it is cut from the bolt.")

    @classmethod
    def of(cls, form: Form) -> FormOut:
        """Return a form as it goes over the wire."""
        lengths = Lengths(form.units)
        return cls(
            kind=form.kind,
            units=form.units,
            name=form_name(form.kind),
            nominal=lengths.sold(form),
            usable=lengths.usable(form),
            yardage=form.open_ended,
        )


class PlanLine(BaseModel):
    """One line of the list of plans."""

    id: str
    title: str
    revision: int
    saved_at: str = Field(description="UTC, ISO 8601.", examples=["2030-05-01T09:30:00.000Z"])
    family: str = Field(description="The same for a plan and all its variants.")
    picture: str = Field(description="Address of a small drawing; empty without a layout.")
    problem: str = Field(default="", description="Why it can't be opened; empty if it can.")


class VariantLine(PlanLine):
    """A plan beside its variants."""

    current: bool = Field(description="Whether it is the plan that was asked about.")
    size: str = Field(description="Finished size.", examples=["72 1/8 in x 84 1/8 in"])
    fabrics: int = Field(description="Fabrics in use.")
    background: str = Field(description="Name of the background in use; empty without one.")
    closest: float | None = Field(description="Least difference of neighbours, CIEDE2000.")
    reach: float | None = Field(description="The largest that is known to be reachable.")
    copies_apart: float | None = Field(
        description="Least distance of two blocks of one fabric, in block sides; 0 if none has two."
    )
    near: int = Field(
        description="Pairs of blocks with a common edge that differ by less than limits.clear."
    )
    facts: list[str] = Field(description="The same in words.")


class LinkOut(BaseModel):
    """A link to look at a plan."""

    address: str = Field(
        description="Below this server; empty if there is none.",
        examples=["/view/kV3mX0Qz7Tn1cYbL9sWq2A"],
    )


class RevisionLine(BaseModel):
    """One change of a plan."""

    revision: int
    made_at: str = Field(description="UTC, ISO 8601.", examples=["2030-05-01T09:30:00.000Z"])
    what: str = Field(description="What was done.", examples=["Swapped two blocks"])
    current: bool = Field(description="Whether the plan stands here; those after it are undone.")


class Size(BaseModel):
    """Finished size with the border."""

    width: float = Field(description="Inches.")
    height: float = Field(description="Inches.")
    words: str = Field(description="In the plan's units.", examples=["72 1/8 x 84 1/8 in"])

    @classmethod
    def of(cls, size: tuple[float, float], units: str) -> Size:
        """Return a width and height in inches as they go over the wire."""
        width, height = size
        return cls(width=width, height=height, words=by(size, units))


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
        pattern="^(plain block|sashing|cornerstone|side triangle|corner triangle|border|binding)$",
        description="What it is in the quilt.",
        examples=["border"],
    )
    fabric: str = Field(description="Its fabric's id; '' while none is chosen.")
    points: list[tuple[float, float]] = Field(
        description="Corners in inches from the top left of the finished quilt; the binding lies "
        "outside it, at most a seam allowance beyond."
    )
    grain: float = Field(
        ge=0, lt=360, description="How far its cloth is turned, degrees clockwise as seen."
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


class ThreadOut(BaseModel):
    """A quilting thread and how it does on the fabrics of the quilt."""

    id: str = Field(description="As in a brief's `thread`.", examples=["plain:pearl-grey"])
    name: str = Field(examples=["Pearl grey"])
    colour: str = Field(description="#rrggbb.", examples=["#c9c8c4"])
    own: bool = Field(description="Whether it is one of the plan's candidates.")
    shows: list[str] = Field(description="Ids of the fabrics on which it shows.")
    soft: list[str] = Field(description="Ids of those on which it shows weakly or in part.")
    vanishes: list[str] = Field(description="Ids of those on which it vanishes.")
    calm: bool = Field(description="Whether this is the one that quietens most.")
    showy: bool = Field(description="Whether this is the one that shows on most.")
    sentence: str = Field(description="The same in words.")


class PlanWords(BaseModel):
    """What is known of a plan, in sentences."""

    stands: dict[str, dict[str, str]] = Field(
        description="How each fabric stands on each background: by background id, by fabric id."
    )
    left_out: dict[str, str] = Field(description="Why fabrics are left out, by id.")
    closest: str = Field(
        description="How far apart the two most alike of the chosen are; empty for fewer.",
        examples=["The two most alike differ by 13.7 (close cousins)."],
    )
    picks: list[str] = Field(description="What can't be met as it is wished for the picks.")
    relax: list[str] = Field(description="In the order of the choice's `relax`.")
    neighbours: list[str] = Field(description="How different blocks side by side are.")
    gist: str = Field(
        description="The same in a few words; empty without a layout.",
        examples=["neighbours 15.5 apart, close cousins"],
    )
    problems: list[str] = Field(description="Everything that stands in the way.")
    eyes: dict[Eyes, str] = Field(
        description="What merges for each kind of colour-blind eyes, or that nothing does."
    )
    warnings: dict[str, list[str]] = Field(
        description="What may be wrong with the photos of fabrics, by id."
    )
    see_photo: list[str] = Field(
        description="Ids of the fabrics in whose photos something is likely wrong, not made up for."
    )
    not_cloth: dict[str, list[str]] = Field(
        description="What was left out of the photos of fabrics, and where it lay, by id."
    )


class PlanView(BaseModel):
    """A plan and what a page needs to show it."""

    id: str
    revision: int = Field(description="For If-Match.")
    can_undo: bool
    can_redo: bool
    plan: Plan
    colours: dict[str, str] = Field(description="What each fabric reads as, by id: #rrggbb.")
    pictures: dict[str, str] = Field(description="Address of each fabric's picture, by id.")
    obtained: dict[str, str] = Field(
        description="How each fabric's colour was obtained and how sure it is, by id."
    )
    summary: list[str] = Field(description="The plan in sentences, the most important first.")
    words: PlanWords
    size: Size
    block: BlockOut = Field(description="The block in use; its name is '' if it is her own.")
    cells: list[CellOut] = Field(description="The blocks by index, then the plain ones.")
    around: list[AroundOut] = Field(description="Every piece that is no pieced block.")
    centre: CentreOut
    verdicts: dict[str, Verdicts] = Field(description="By background id.")
    patches: dict[str, PatchesOut] = Field(description="Of prints, by fabric id.")
    threads: list[ThreadOut] = Field(description="Her own candidates, then plain threads.")
    note: str = Field(default="", description="What has to be said about this answer.")


class PlanChange(BaseModel):
    """What a change did to a plan, for a page that shows it."""

    id: str
    base: int = Field(
        description="The revision whose view becomes the new one by the patch; who shows another "
        "asks for the plan anew."
    )
    revision: int = Field(description="The new one, for If-Match.")
    can_undo: bool
    can_redo: bool
    patch: list[Operation] = Field(
        description="From the view at that revision to the new one, but for what stands here "
        "(JSON Patch, RFC 6902)."
    )


Answered = PlanChange | PlanView
"""What answers a change: the change, or the whole plan if that is preferred."""


class TryOut(BaseModel):
    """What a left-out fabric would do in the place of a chosen one."""

    fabric: str = Field(description="Id of the left-out fabric.")
    closest_after: float | None = Field(
        description="Difference of the two most alike then, CIEDE2000; null for fewer than two."
    )
    sentence: str = Field(description="The same in words.")


class NearOut(BaseModel):
    """Two blocks that touch."""

    first: int
    second: int
    touch: Literal["edge", "point"]
    difference: float = Field(description="CIEDE2000, as in arranging; 0 for one fabric.")
    sentence: str = Field(description="The same in words.")


class SwapOut(BaseModel):
    """Two blocks whose exchange would improve the layout."""

    first: int
    second: int
    gain: float = Field(description="In standard deviations of a random layout.")
    closest_after: float = Field(description="Least neighbour difference then, CIEDE2000.")
    sentence: str = Field(description="What gets better.", examples=["like colours further apart"])


class FaultOut(BaseModel):
    """One fault that a judge found."""

    kind: str = Field(examples=["overlap"])
    words: str = Field(examples=["Of 'Moss' pieces 4 and 5 overlap."])


class CheckOut(BaseModel):
    """What the judges say of a plan."""

    sound: bool = Field(description="Whether they found no fault.")
    words: str = Field(examples=["Checked: every piece lies on its cloth."])
    faults: list[FaultOut]

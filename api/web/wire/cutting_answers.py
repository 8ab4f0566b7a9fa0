"""What is told of cutting over the wire: the table, forms of cloth, ways of making units."""

from __future__ import annotations

from pydantic import BaseModel, Field

from placement.cloth.cutting import Fit
from placement.cloth.forms import Along, FormKind


class FormChoice(BaseModel):
    """A form of cloth to choose."""

    name: FormKind = Field(description="As a plan calls it.", examples=["fat quarter"])
    label: str = Field(description="With its size as sold.", examples=["Fat quarter, 18 x 21 in"])


class CutStep(BaseModel):
    """Strips that are cut alike, and what is cut from them."""

    numbers: str = Field(description="Of its pieces in the drawing.", examples=["5 to 8"])
    words: str = Field(
        examples=["Cut 1 strip 4 3/4 in across the width; from it 4 squares of 4 3/4 in."]
    )


class ClothRow(BaseModel):
    """One fabric on the cutting table."""

    fabric: str = Field(description="Its id.", examples=["rosehip"])
    at: int = Field(description="Which of its fabric's cloths this is, from 0.", examples=[0])
    name: str = Field(examples=["Rosehip"])
    form: FormKind = Field(description="What it comes as.", examples=["fat quarter"])
    cloth: str = Field(description="The same with its count.", examples=["2 fat quarters"])
    own: bool = Field(description="Whether its cloth was told by hand.")
    size: str = Field(examples=["17 1/2 x 20 1/2 in usable"])
    verdict: Fit
    fits: bool = Field(description="Whether the cloth suffices.")
    enough: int | None = Field(description="How many of its form would do, where it is short.")
    brief: str = Field(description="The verdict in a few words.", examples=["3 in to spare"])
    sentences: list[str] = Field(description="The verdict with its numbers and its proof.")
    cuts: list[CutStep] = Field(description="What to cut, in order.")


class Amount(BaseModel):
    """How much of something is needed."""

    what: str = Field(examples=["Batting"])
    much: str = Field(examples=["88 1/8 in x 100 1/8 in"])


class ShoppingItem(BaseModel):
    """One row of the shopping list."""

    what: str = Field(description="The fabric, or several.", examples=["Oat linen"])
    purpose: str = Field(examples=["Background and binding"])
    needed: str = Field(description="How much is needed in all.", examples=["118 3/4 in"])
    owned: str = Field(description="How much is at hand, or ''.", examples=["54 in"])
    buy: str = Field(description="What is missing, or ''.", examples=["1 3/4 yd"])
    cuts: list[str] = Field(description="How what is bought beside cloth at hand is cut.")


class Arrow(BaseModel):
    """Which way the allowance of a seam is pressed, in parts of the block's side."""

    x: float = Field(description="Middle of the seam.")
    y: float = Field(description="Middle of the seam.")
    dx: int = Field(description="Direction: -1, 0 or 1.")
    dy: int = Field(description="Direction: -1, 0 or 1.")


class FormRow(BaseModel):
    """What one form of cloth, laid one way, does for the blocks of a quilt, in words."""

    kind: FormKind = Field(examples=["fat quarter"])
    along: Along = Field(description="Which of its sides the strips run along.")
    name: str = Field(examples=["Fat quarter, 18 in x 21 in"])
    needed: str = Field(examples=["18 fat quarters, 1 of each fabric"])
    gives: str = Field(examples=["8 blocks from one, 1/2 in of height to spare"])
    fewest: str = Field(description="Fewer pieces that would do with fewer fabrics, or ''.")
    cuts: str = Field(examples=["cut in the same way"])
    usual: bool = Field(description="Whether the fabrics come so now.")
    chosen: bool = Field(description="Whether the pattern is told for it.")


class FormsOut(BaseModel):
    """Every form of cloth side by side, the one in use first."""

    rows: list[FormRow]


class MethodOption(BaseModel):
    """A way of making units to choose."""

    name: str = Field(description="As a plan calls it.", examples=["eight"])
    label: str = Field(examples=["eight at a time"])


class MethodChoice(BaseModel):
    """The ways of making one kind of unit."""

    decision: str = Field(
        description="Which of the sewing's decisions chooses it.", examples=["triangles"]
    )
    label: str = Field(examples=["Half-square triangle units are made"])
    chosen: str = Field(description="The one in use.", examples=["two"])
    options: list[MethodOption]


class MethodRow(BaseModel):
    """What one way of making units does to cloth and work, in words."""

    decision: str = Field(
        description="Which of the sewing's decisions chooses it.", examples=["triangles"]
    )
    method: str = Field(description="What that decision is then.", examples=["eight"])
    usual: bool = Field(description="Whether units are made so now.")
    unit: str = Field(examples=["Half-square triangle units"])
    name: str = Field(examples=["eight at a time"])
    work: str = Field(description="Pieces, units left over, share of cloth that shows, cuts.")
    cloth: str = Field(examples=["Linen 2 3/8 yd; 18 fat quarters"])
    change: str = Field(description="What is more or less than now; '' for the one in use.")
    special: str = Field(description="Bias edges, waste, and fabrics that are made otherwise.")


class MethodsOut(BaseModel):
    """Every way of making the block's units side by side, those in use first."""

    rows: list[MethodRow]


class CuttingTable(BaseModel):
    """Everything that is cut, bought and pressed for a plan, in words."""

    revision: int = Field(description="Of the plan it was made for.")
    verdict: str = Field(examples=["Everything fits."])
    checked: str = Field(
        description="What the judges say.", examples=["Checked: every piece lies on its cloth."]
    )
    aims: str = Field(
        description="What the simplest plan and the least cloth ask for, in one line; '' where "
        "they are alike."
    )
    forms: list[FormChoice]
    methods: list[MethodChoice] = Field(description="How the block's units may be made.")
    cloths: list[ClothRow] = Field(description="Fabrics that are short first.")
    shopping: list[ShoppingItem] = Field(description="What to buy first, then what is at hand.")
    amounts: list[Amount]
    setting: list[str] = Field(description="Sashing, and squares for the setting triangles.")
    strip_sets: list[str] = Field(description="Strips sewn side by side and cut across.")
    notes: list[str]
    pressing: str
    arrows: list[list[Arrow]] = Field(description="For each way the blocks are pressed.")
    care: list[str] = Field(description="Cautions.")

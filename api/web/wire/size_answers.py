"""What is told of sizes over the wire: what a form of cloth holds, and every bed."""

from __future__ import annotations

from pydantic import BaseModel, Field

from api.web.wire.responses import FormOut, Size
from placement.top.setting.beds import Way


class HoldingOut(BaseModel):
    """What one piece of cloth holds of a block in one size."""

    blocks: int = Field(description="Blocks whose feature pieces it gives.")
    spare: str = Field(description="Height left over, exact, in inches.", examples=["1 1/2"])
    waste: float = Field(description="Share of the cloth that is no piece, 0 to 1.")
    whole: bool = Field(description="Whether it is used to the last thread.")
    words: str = Field(examples=["4 blocks, 1 in of height to spare, 12 % waste"])


class WhatIfRow(BaseModel):
    """One finished size of a block."""

    finished: str = Field(description="Finished side, exact, in inches.", examples=["8 1/2"])
    nominal: HoldingOut = Field(description="From the cloth as sold.")
    usable: HoldingOut = Field(description="From the cloth squared up.")
    on_ruler: bool = Field(description="Whether every piece is cut along the ruler's marks.")


class WhatIfOut(BaseModel):
    """Which finished sizes of a block use one piece of a form of cloth well."""

    block: str = Field(examples=["Uneven nine patch"])
    form: FormOut
    rows: list[WhatIfRow]


class BandOut(BaseModel):
    """One border, as a change of the brief takes it."""

    width: str = Field(description="Finished width, exact.", examples=["4 1/2"])
    fabric: str = Field(description="Id of its fabric; '' takes the background.")


class BedRow(BaseModel):
    """The pattern on one bed."""

    bed: str = Field(examples=["queen"])
    way: Way = Field(description="Fewer blocks in wider borders, or more in those of the plan.")
    words: str = Field(description="The bed and the way.", examples=["Queen, more blocks"])
    size: Size = Field(description="The quilt; it covers what is wanted.")
    wanted: str = Field(description="What covers the bed with the drop asked for.")
    across: int
    down: int
    blocks: int
    border: str = Field(description="Width of all borders on one side.", examples=["6 1/4 in"])
    borders: list[BandOut] = Field(description="The borders that make it, from the centre.")
    buy: list[str] = Field(description="What is bought, a line a kind of cloth.")


class BedSizesOut(BaseModel):
    """The same pattern for every bed, smallest first; beds that it does not fit are left out."""

    drop: str = Field(examples=["12 in"])
    fabrics: int = Field(description="Fabrics that share the blocks.")
    rows: list[BedRow]

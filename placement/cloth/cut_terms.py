"""What is decided about cutting from cloth: the aim, what it may cost, layers."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from placement.cloth.cutting import Aim
from placement.cloth.instructions import LAYERS
from placement.cloth.yardage import SHRINKAGE
from placement.inches import Inches

NONE = Inches(Fraction(0))
QUARTER_YARD = Inches(Fraction(9))
ALLOWANCES = (NONE, Inches(Fraction(9, 2)), QUARTER_YARD, Inches(Fraction(18)))
"""What a simple plan may cost more than the least: nothing, 1/8, 1/4, 1/2 yd."""


@dataclass(frozen=True, slots=True)
class CutTerms:
    """How pieces are cut."""

    aim: Aim = Aim.SIMPLEST
    """What matters most."""
    allowance: Inches = QUARTER_YARD
    """How much more yardage a simple plan may take than the least."""
    layers: int = LAYERS
    """How many strips are sub-cut at once."""
    stacking: bool = True
    """Whether a column of a strip may be cut into pieces one above the other."""
    effort: float = 1.0
    """Search steps for the least cloth in proportion to the usual, above 0."""
    squaring: Inches = NONE
    """Cut off the end of each strip before its first sub-cut."""
    shrinkage: Fraction = SHRINKAGE
    """Share of bought yardage lost in the wash."""

    def __post_init__(self) -> None:
        if self.layers < 1:
            raise ValueError(
                f"{self.layers} layers are none; give how many are cut at once, 1 or more"
            )

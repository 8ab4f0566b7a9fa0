"""What the designer decides about cutting and finishing, and the cloth she has."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

from placement.cloth.pieces import Method
from placement.inches import Inches
from placement.top.setting.finishing import QUARTER, Corner, Grain, Join

MOST_SHRINKAGE = 20
"""Per cent; published samples of quilting cotton shrink by 3 to 10."""

Units = Literal["inches", "metric"]
"""What lengths are shown in."""


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

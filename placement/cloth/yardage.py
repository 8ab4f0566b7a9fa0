"""What to buy: a usable length grown by shrinkage and squaring, in the shop's steps.

The step is common practice: shops cut yardage to 1/8 yd (4 1/2 in), metric cloth
to 10 cm. Published samples of quilting cotton shrink by 3 to 10 %; the default
is 3 %.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from placement.inches import MM_PER_INCH, Inches
from placement.sizes import EIGHTH, FIVE_MM

if TYPE_CHECKING:
    from placement.cloth.forms import Form

EIGHTH_YARD = Inches(Fraction(9, 2))
TEN_CENTIMETRES = Inches(100 / MM_PER_INCH)
SHRINKAGE = Fraction(3, 100)
ENDS = Inches(Fraction(1, 2))
"""Lost when both cut ends are squared up; what a pre-cut loses too (precuts)."""


def washed(form: Form, shrinkage: Fraction = SHRINKAGE) -> Form:
    """Return a form as it is after washing.

    Yardage is washed before it is cut, so it loses width as well: the usable
    width is at most what shrinkage leaves of the nominal one. Pre-cuts are cut
    as they come; their sizes stay.
    """
    if not form.open_ended:
        return form
    left = form.nominal_width.value * (1 - shrinkage)
    step = (FIVE_MM if form.metric else EIGHTH).value
    return replace(form, width=min(form.width, Inches(left // step * step)))


def shop_step(form: Form) -> Inches:
    """Return the step in which cloth of that form is sold by length."""
    return TEN_CENTIMETRES if form.metric else EIGHTH_YARD


def to_buy(
    usable: Inches,
    step: Inches = EIGHTH_YARD,
    shrinkage: Fraction = SHRINKAGE,
    ends: Inches = ENDS,
) -> Inches:
    """Return the length to buy so that ``usable`` is left after washing and squaring up.

    Parameters
    ----------
    usable : Inches
        Length that the strips take; nothing is bought for 0.
    step : Inches
        The length is a multiple of this.
    shrinkage : Fraction
        Share of the length lost in the wash, 0 or more and below 1.
    ends : Inches
        Lost when the ends are squared up.

    Raises
    ------
    ValueError
        If the shrinkage is no such share, or the step is 0.

    Examples
    --------
    >>> str(to_buy(Inches.parse('26 1/2')))  # 7/8 yd
    '31 1/2'
    """
    if not 0 <= shrinkage < 1:
        raise ValueError(
            f"shrinkage is a share from 0 to below 1, such as 0.03 for 3 %, not {shrinkage}"
        )
    if not step.value:
        raise ValueError("the step in which cloth is sold must be above 0 inches")
    if not usable.value:
        return usable
    needed = (usable.value + ends.value) / (1 - Fraction(shrinkage))
    return Inches(ceil(needed / step.value) * step.value)


def longest_usable(bought: Inches, shrinkage: Fraction = SHRINKAGE, ends: Inches = ENDS) -> Inches:
    """Return the usable length that is left of ``bought`` after washing and squaring up."""
    return Inches(max(Fraction(0), bought.value * (1 - Fraction(shrinkage)) - ends.value))

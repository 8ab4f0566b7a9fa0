"""What to buy: shop steps, shrinkage, squaring up."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement.cloth.cutting import Cloth, Piece, PieceKind, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.strips import cut
from placement.cloth.yardage import (
    EIGHTH_YARD,
    TEN_CENTIMETRES,
    longest_usable,
    shop_step,
    to_buy,
    washed,
)
from placement.inches import Inches, Units

Named = tuple[FormKind, Units]

LENGTHS = st.fractions(0, 400, max_denominator=16).map(Inches)
SHARES = st.sampled_from([Fraction(0), Fraction(3, 100), Fraction(1, 10)])


def test_an_eighth_of_a_yard_is_four_and_a_half_inches() -> None:
    # International yard and pound agreement, 1959: a yard is 36 inches, an inch 25.4 mm.
    assert EIGHTH_YARD.value * 8 == 36
    assert TEN_CENTIMETRES.mm == pytest.approx(100)


@pytest.mark.parametrize(
    ("usable", "shrinkage", "bought"),
    [
        # By hand: 26 1/2 + 1/2 = 27 in, exactly 3/4 yd; over 0.97, 27.84 in: 7/8 yd.
        ("26 1/2", 0, "3/4"),
        ("26 1/2", Fraction(3, 100), "7/8"),
        ("26 5/8", 0, "7/8"),
        ("0", 0, "0"),
    ],
)
def test_lengths_are_rounded_up_to_the_shops_step(
    usable: str, shrinkage: Fraction, bought: str
) -> None:
    length = to_buy(Inches.parse(usable), shrinkage=shrinkage)
    assert str(Inches(length.value / 36)) == bought


@pytest.mark.parametrize(
    ("form", "shrinkage", "width"),
    [
        # By hand: 42 in less 3 % is 40.74, less 5 % 39.9, less 10 % 37.8; 1100 mm less 10 % 990.
        ((FormKind.YARDAGE, "inches"), Fraction(0), "40"),
        ((FormKind.YARDAGE, "inches"), Fraction(3, 100), "40"),
        ((FormKind.YARDAGE, "inches"), Fraction(1, 20), "39 7/8"),
        ((FormKind.YARDAGE, "inches"), Fraction(1, 10), "37 3/4"),
        ((FormKind.YARDAGE, "metric"), Fraction(1, 10), "990 mm"),
        # Pre-cuts are not washed.
        ((FormKind.FAT_QUARTER, "inches"), Fraction(1, 10), "20 1/2"),
    ],
)
def test_washed_yardage_is_narrower_once_shrinkage_takes_more_than_the_planning_width(
    form: Named, shrinkage: Fraction, width: str
) -> None:
    assert washed(form_of(*form), shrinkage).width == Inches.parse(width)


@given(LENGTHS, SHARES)
def test_what_is_bought_leaves_enough_and_a_step_less_does_not(
    usable: Inches, shrinkage: Fraction
) -> None:
    bought = to_buy(usable, shrinkage=shrinkage)
    assert longest_usable(bought, shrinkage) >= usable
    if bought.value:
        less = Inches(bought.value - EIGHTH_YARD.value)
        assert longest_usable(less, shrinkage) < usable


def test_metric_cloth_is_sold_by_ten_centimetres() -> None:
    form = form_of(FormKind.YARDAGE, "metric")
    size = Inches.parse("60 mm")
    plan = cut([Piece(Use(PieceKind.PATCH), "", size, size, 30)], Cloth("", form))
    assert shop_step(form) == TEN_CENTIMETRES
    # Two strips of 17 are 120 mm; with 12.7 mm for the ends and 3 %, 136.8 mm.
    assert (plan.used, plan.buy) == (Inches.parse("120 mm"), Inches.parse("20 cm"))
    assert plan.buy == Inches.parse("200 mm")


@pytest.mark.parametrize("shrinkage", [Fraction(-1, 100), Fraction(1)])
def test_a_shrinkage_that_is_no_share_is_refused(shrinkage: Fraction) -> None:
    with pytest.raises(ValueError, match="shrinkage is a share"):
        to_buy(Inches.parse(9), shrinkage=shrinkage)


def test_a_step_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="step in which cloth is sold"):
        to_buy(Inches.parse(9), step=Inches(Fraction(0)))


@pytest.mark.parametrize(
    ("form", "nominal", "usable"),
    [
        # Sold: common practice. Usable: planning defaults, 1/2 in less for two squared ends.
        ((FormKind.FAT_QUARTER, "inches"), ("18", "21"), ("17 1/2", "20 1/2")),
        ((FormKind.FAT_EIGHTH, "inches"), ("9", "21"), ("8 1/2", "20 1/2")),
        ((FormKind.TALL_FAT_EIGHTH, "inches"), ("11", "18"), ("10 1/2", "17 1/2")),
        ((FormKind.QUARTER_YARD, "inches"), ("9", "42"), ("8 1/2", "40")),
        ((FormKind.HALF_YARD, "inches"), ("18", "42"), ("17 1/2", "40")),
        ((FormKind.TEN_INCH_SQUARE, "inches"), ("10", "10"), ("10", "10")),
        ((FormKind.FIVE_INCH_SQUARE, "inches"), ("5", "5"), ("5", "5")),
        ((FormKind.STRIP, "inches"), ("2 1/2", "42"), ("2 1/2", "40")),
        ((FormKind.FAT_QUARTER, "metric"), ("50 cm", "55 cm"), ("485 mm", "535 mm")),
        ((FormKind.FAT_EIGHTH, "metric"), ("25 cm", "55 cm"), ("235 mm", "535 mm")),
    ],
)
def test_forms_of_cloth_are_as_sold(
    form: Named, nominal: tuple[str, str], usable: tuple[str, str]
) -> None:
    cloth = form_of(*form)
    assert (cloth.nominal_height, cloth.nominal_width) == tuple(map(Inches.parse, nominal))
    assert (cloth.height, cloth.width) == tuple(map(Inches.parse, usable))

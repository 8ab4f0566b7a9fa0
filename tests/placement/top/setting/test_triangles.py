"""Setting triangles cut larger and trimmed: by how much blocks float, and what the top measures."""

from __future__ import annotations

from math import sqrt

import pytest

from placement.inches import Inches
from placement.sizes import EIGHTH
from placement.top.setting.finishing import QUARTER
from placement.top.setting.setting import Setting
from placement.top.setting.triangles import Triangle, edge_beyond, setting_squares

NONE = Inches.parse(0)
SEVEN = Setting("on point", 6, 7, Inches.parse(7))


def _side(more: str, own: dict[Triangle, Inches] | None = None) -> tuple[Inches, ...]:
    squares = setting_squares(SEVEN, QUARTER, EIGHTH, own, Inches.parse(more))
    return tuple(each.cut for each in squares)


def test_squares_larger_by_an_inch_are_the_exact_ones_and_an_inch_rounded_up() -> None:
    # 7 sqrt 2 + 1/2 (1 + sqrt 2) = 11.1066 and 7 / sqrt 2 + (2 + sqrt 2) / 4 = 5.8033 in.
    assert _side("0") == (Inches.parse("11 1/8"), Inches.parse("5 7/8"))
    assert _side("1") == (Inches.parse("12 1/8"), Inches.parse("6 7/8"))


@pytest.mark.parametrize(
    ("more", "floating", "beyond"),
    [("0", "0", 0.0), ("1", "0", 0.0), ("1", "1/2", 0.5), ("1 1/2", "1/2", 0.5)],
)
def test_blocks_float_as_far_as_is_asked(more: str, floating: str, beyond: float) -> None:
    squares = setting_squares(SEVEN, QUARTER, EIGHTH, None, Inches.parse(more))
    assert edge_beyond(SEVEN, squares, Inches.parse(floating)) == beyond


def test_squares_of_twelve_and_six_and_a_half_inches_reach_as_far_as_the_corners_do() -> None:
    # The sides would float by (12 - 11.1066) / 2 = 0.447 in, the corners by
    # (6 1/2 - 5.8033) / 2 = 0.348 in: the edge is straight, so it is the lesser.
    own = {Triangle.SIDE: Inches.parse(12), Triangle.CORNER: Inches.parse("6 1/2")}
    squares = setting_squares(SEVEN, QUARTER, EIGHTH, own)
    reach = [(float(each.cut) - each.exact) / 2 for each in squares]
    assert reach == pytest.approx([0.4467, 0.3483], abs=5e-5)
    assert edge_beyond(SEVEN, squares, Inches.parse(1)) == pytest.approx(reach[1])
    assert edge_beyond(SEVEN, squares, NONE) == 0


def test_squares_too_small_take_from_the_top() -> None:
    # A worked case of common practice: 8 1/2 in blocks, 13 in squares, 0.114 in.
    setting = Setting("on point", 6, 7, Inches.parse("8 1/2"))
    squares = setting_squares(setting, QUARTER, EIGHTH, {Triangle.SIDE: Inches.parse(13)})
    assert edge_beyond(setting, squares, NONE) == pytest.approx(-0.113961, abs=5e-7)


def test_a_triangle_from_a_larger_square_is_larger_by_geometry() -> None:
    """The right angle of a half square lies half its long side away from it."""
    for square in (11.1066, 12.0, 13.25):
        leg = square / sqrt(2)
        assert leg * leg / square == pytest.approx(square / 2)


def test_blocks_between_sashing_and_in_straight_rows_do_not_float() -> None:
    sashed = Setting("on point", 3, 3, Inches.parse(7), False, Inches.parse(1))
    squares = setting_squares(sashed, QUARTER, EIGHTH, None, Inches.parse(1))
    assert edge_beyond(sashed, squares, Inches.parse("1/2")) == 0
    straight = Setting("straight", 3, 3, Inches.parse(7))
    assert edge_beyond(straight, (), Inches.parse("1/2")) == 0

"""Around the blocks: charts, published how-tos and closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement.inches import Inches
from placement.top.setting import finishing, triangles
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from fractions import Fraction

SASH = Inches.parse("1 1/2")


def _on_point(across: int, down: int, block: str = "8 1/2") -> Setting:
    return Setting("on point", across, down, Inches.parse(block))


def test_the_worked_six_by_seven() -> None:
    # Derived: 22 sides from 6 squares, 4 corners from 2, 13 1/4 and 6 7/8 in.
    side, corner = triangles.setting_squares(_on_point(6, 7))
    assert (side.triangles, side.squares, side.cut) == (22, 6, Inches.parse("13 1/4"))
    assert (corner.triangles, corner.squares, corner.cut) == (4, 2, Inches.parse("6 7/8"))


@pytest.mark.parametrize(("across", "down", "sides"), [(4, 5, 14), (4, 4, 12), (6, 7, 22)])
def test_side_triangles_are_counted(across: int, down: int, sides: int) -> None:
    # Derived: 2(a + b - 2).
    assert triangles.setting_squares(_on_point(across, down))[0].triangles == sides


def test_one_block_on_point_has_corners_only() -> None:
    (corner,) = triangles.setting_squares(_on_point(1, 1))
    assert corner.kind == "corner"


def test_a_thirteen_inch_square_is_answered_with_the_block_it_suits() -> None:
    # Derived: blocks up to 8 13/16 in unfinished.
    own = triangles.own_square(_on_point(6, 7), triangles.Triangle.SIDE, Inches.parse(13))
    assert own.loss == pytest.approx(0.113961, abs=5e-7)
    assert own.largest_unfinished == Inches.parse("8 13/16")


def test_a_seven_inch_corner_square_is_fine() -> None:
    # The worked case: exact 6.8640.
    assert (
        triangles.own_square(_on_point(6, 7), triangles.Triangle.CORNER, Inches.parse(7)).loss < 0
    )


def test_a_square_that_is_all_seam_is_refused() -> None:
    with pytest.raises(ValueError, match="all seam allowance"):
        triangles.own_square(_on_point(6, 7), triangles.Triangle.SIDE, Inches.parse("1/2"))


def test_a_framed_four_by_five() -> None:
    # A practitioner's page on sashing: 49 sashes and 30 cornerstones.
    sash = Inches.parse("1 1/2")
    straight = Setting("straight", 4, 5, Inches.parse(9), sashing=sash, cornerstones=True)
    sashed = finishing.sashing(straight)
    assert sashed is not None
    assert (sashed.strips, sashed.cornerstones, sashed.half_cornerstones) == (49, 30, 0)
    # Every cut size is the finished one and two seams.
    assert [str(side) for side in sashed.cut] == ["9 1/2", "2"]
    assert straight.width == pytest.approx(4 * 9 + 5 * 1.5)


def test_without_sashing_there_is_nothing_to_cut_for_it() -> None:
    assert finishing.sashing(replace(_on_point(6, 7), cornerstones=True)) is None


def test_half_cornerstones_have_their_straight_grain_on_the_edge() -> None:
    # 1 1/2 in finished: hypotenuse 2.1213, cut twice from 2.1213 + 1.2071 = 3.3284, derived.
    sashed = finishing.sashing(replace(_on_point(4, 5), sashing=SASH, cornerstones=True))
    assert sashed is not None
    assert (sashed.half_cornerstones, sashed.half_squares) == (18, 5)
    assert sashed.half_square == Inches.parse("3 3/8")


def test_sashing_leaves_the_setting_triangles_of_an_on_point_quilt_as_they_are() -> None:
    # Between the strips at the edge lies half a block, at a corner a quarter; derived.
    plain = _on_point(6, 7)
    assert triangles.setting_squares(replace(plain, sashing=SASH)) == triangles.setting_squares(
        plain
    )


@given(st.integers(1, 9), st.integers(1, 9))
def test_sashes_on_point_are_the_blocks_edges(across: int, down: int) -> None:
    # Counted afresh on the lattice of block edges and corners.
    setting = replace(_on_point(across, down), sashing=SASH, cornerstones=True)
    edges, corners, inside = set(), {}, {(c.row, c.column) for c in setting.cells()}
    for row, column in inside:
        ends = [(row - 1, column), (row, column + 1), (row + 1, column), (row, column - 1)]
        for first, second in zip(ends, ends[1:] + ends[:1], strict=True):
            edges.add(frozenset((first, second)))
        for point in ends:
            corners[point] = corners.get(point, 0) + 1
    sashed = finishing.sashing(setting)
    assert sashed is not None
    assert sashed.strips == len(edges)
    assert sashed.cornerstones + sashed.half_cornerstones == len(corners)
    rim = [p for p in corners if p[0] in (-1, 2 * down - 1) or p[1] in (-1, 2 * across - 1)]
    assert sashed.half_cornerstones == len(rim)


@given(st.integers(10, 100), st.integers(10, 100), st.integers(1, 10))
def test_butted_borders_add_up_in_area(width: int, height: int, finished: int) -> None:
    made = finishing.border(width, height, Inches.parse(finished))
    sides = (made.sides - 0.5) * finished * 2
    ends = (made.ends - 0.5) * finished * 2
    assert width * height + sides + ends == pytest.approx(made.width * made.height, abs=1e-9)


def test_a_mitred_border_reaches_both_outer_corners() -> None:
    # Derived: finished length + 2b + 2q(1 + sqrt 2).
    made = finishing.border(60, 80, Inches.parse(5), "mitred")
    assert made.sides == pytest.approx(80 + 10 + 0.5 * (1 + sqrt(2)), abs=1e-9)


@pytest.mark.parametrize(("usable", "strips"), [("40", 8), ("42", 7)])
def test_binding_strips_with_diagonal_joins(usable: str, strips: int) -> None:
    # Derived: L 274 in, cut 2 1/2 in.
    made = finishing.binding(65, 66, Inches.parse("2 1/2"), Inches.parse(usable))
    assert made.length == pytest.approx(274)
    assert made.strips == strips


@given(st.floats(40, 500), st.floats(36, 44), st.sampled_from([0.5, 2.25, 2.5]))
def test_joined_strips_are_long_enough_and_one_less_is_not(
    length: float, usable: float, lost: float
) -> None:
    strips = finishing.strips_joined(length, usable, lost)
    assert strips * usable - (strips - 1) * lost >= length - 1e-6
    fewer = strips - 1
    assert fewer == 0 or fewer * usable - (fewer - 1) * lost < length + 1e-6


def test_continuous_bias_gives_less_than_the_rule_of_thumb() -> None:
    # Derived: S 20, c 2: 165.463 where S x S / c promises 200.
    assert finishing.bias_length(20, 2, 0.25) == pytest.approx(165.463, abs=5e-4)


@given(
    st.integers(40, 480),
    st.sampled_from(["2", "2 1/4", "2 1/2", "60 mm"]),
    st.sampled_from(["1/4", "3/8", "7.5 mm"]),
    st.sampled_from(["1/8", "1/2", "5 mm"]),
)
def test_a_square_for_bias_binding_is_the_least_that_gives_the_length(
    length: int, cut: str, seam: str, step: str
) -> None:
    wide, q, rounded = (Inches.parse(text) for text in (cut, seam, step))
    square = finishing.bias_square(length, wide, q, rounded)

    def given_by(side: Fraction) -> float:
        return finishing.bias_length(float(side), float(wide), float(q))

    assert square.value % rounded.value == 0
    assert given_by(square.value) >= length - 1e-6
    assert given_by(square.value - rounded.value) < length + 1e-6


def test_the_square_of_the_check_value_comes_back() -> None:
    # Derived: S 20, c 2 gives 165.463 in; the rule of thumb promises 200.
    two = Inches.parse(2)
    assert finishing.bias_square(165.46, two) == Inches.parse(20)
    assert finishing.bias_square(200, two) > Inches.parse(20)


def test_bias_binding_of_a_large_quilt_takes_squares_that_the_cloth_holds() -> None:
    # By hand: 2 (100 + 100) + 12 = 412 in of 2 1/2 in binding. A square of 33 in leaves 32 1/2
    # in, which holds 9 strips of 3.5355 in on the diagonal: 9 x 45.962 = 413.7 in. One of
    # 32 1/2 in leaves 32 in and 9 x 45.255 = 407.3 in.
    wide = Inches.parse("2 1/2")
    made = finishing.bias_binding(100, 100, wide, Inches.parse(40))
    assert made.length == 412
    assert (made.square, made.strips) == (Inches.parse(33), 1)
    small = finishing.bias_binding(100, 100, wide, Inches.parse(20))
    assert small.strips > 1
    assert small.square is not None
    assert small.square <= Inches.parse(20)
    each = finishing.bias_length(float(small.square), 2.5, 0.25)
    # Each diagonal join loses the cut width.
    assert small.strips * each - (small.strips - 1) * 2.5 >= 412 - 1e-9


def test_cloth_too_small_for_bias_binding_is_told() -> None:
    with pytest.raises(ValueError, match="too small for bias binding cut 2 1/2 in wide"):
        finishing.bias_binding(60, 60, Inches.parse("2 1/2"), Inches.parse(3))


def test_a_backing_of_two_lengths() -> None:
    # Published how-to: a 72 x 90 quilt takes two lengths of 94 in of 42 in cloth; it leaves
    # 2 in at the ends.
    best = finishing.backing(72, 90, Inches.parse(42), margin=2)[0]
    assert (best.panels, best.panel_length) == (2, 94)


@given(st.floats(20, 120), st.floats(20, 120))
def test_backing_panels_cover_the_quilt_both_ways(width: float, height: float) -> None:
    for way in finishing.backing(width, height, Inches.parse(40)):
        across = height if way.seams == "level" else width
        if way.panels > 1:
            assert way.panels * 39 + 1 >= across + 8 - 1e-6
            assert (way.panels - 1) * 39 + 1 < across + 8 + 1e-6
        if way.saving_margin is not None:
            assert (way.panels - 1) * 39 + 1 >= across + 2 * way.saving_margin - 1e-6


def test_a_negative_margin_is_refused() -> None:
    with pytest.raises(ValueError, match="-1"):
        finishing.backing(60, 60, Inches.parse(40), margin=-1)


def test_a_backing_in_one_piece_comes_first_where_it_takes_little_more() -> None:
    # By hand: 24 x 48 in is 32 x 56 with the margin. One piece of cloth 40 in wide is 56 in
    # long; across, two lengths of 32 in are 64. A runner of 14 x 44 is 22 x 52: one piece of
    # 52 in, or two lengths of 22 in, 44 in: 8 in of cloth for a seam less.
    wide = finishing.backing(24, 48, Inches.parse(40))
    runner = finishing.backing(14, 44, Inches.parse(40))
    assert [(way.seams, way.cloth) for way in wide] == [("none", 56), ("level", 64)]
    assert [(way.seams, way.cloth) for way in runner] == [("none", 52), ("level", 44)]
    # 14 x 64 is 22 x 72: one piece takes 28 in more than two lengths of 22 in.
    long = finishing.backing(14, 64, Inches.parse(40))
    assert [(way.seams, way.cloth) for way in long] == [("level", 44), ("none", 72)]


def test_of_two_backings_in_one_piece_the_shorter_alone_is_told() -> None:
    # 20 x 28 in is 28 x 36 with the margin: 28 in long, or 36, of cloth 40 in wide.
    (way,) = finishing.backing(20, 28, Inches.parse(40))
    assert (way.seams, way.cloth) == ("none", 28)


def test_dividing_by_forty_is_a_strip_short_for_about_a_third_of_lengths() -> None:
    # Derived: diagonal joins of 2 1/2 in strips lose 2 1/2 in each, so that ceil(L / 40) is too
    # few for a share (ceil(L / 40) - 1) x 2.5 / 40 of lengths: of 100 to 400 in, a third or so.
    lengths = range(100, 401)
    short = sum(finishing.strips_joined(n, 40, 2.5) > -(-n // 40) for n in lengths)
    assert 0.3 < short / len(lengths) < 0.4


def test_batting_and_backing_reach_four_inches_beyond_on_every_side() -> None:
    # Common practice.
    assert finishing.batting(72, 90) == (80, 98)
    assert {way.panel_length for way in finishing.backing(72, 90, Inches.parse(40))} == {80, 98}

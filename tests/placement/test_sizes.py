"""Sizes to cut against handbooks, charts and plane geometry."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement import sizes
from placement.inches import Inches

FINISHED = st.floats(0.25, 60)
SEAMS = st.sampled_from([0.1875, 0.25, 0.375, 6 / 25.4, 7.5 / 25.4])


def _inner(corners: list[tuple[float, float]], seam: float) -> list[tuple[float, float]]:
    """Offset a convex polygon's sides inwards by the seam; the independent reference."""
    lines = []
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        long = sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2)
        nx, ny = -(y1 - y0) / long, (x1 - x0) / long
        lines.append((nx, ny, nx * x0 + ny * y0 + seam))
    inner = []
    for (a, b, c), (d, e, f) in zip(lines[-1:] + lines[:-1], lines, strict=True):
        det = a * e - b * d
        inner.append(((c * e - b * f) / det, (a * f - c * d) / det))
    return inner


def _side(points: list[tuple[float, float]], index: int) -> float:
    (x0, y0), (x1, y1) = points[index], points[(index + 1) % len(points)]
    return sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2)


@given(FINISHED, SEAMS)
def test_half_squares_finish_at_their_size(finished: float, seam: float) -> None:
    # Derived: offset the cut triangle's three sides by the seam.
    cut = sizes.half_square(finished, seam)
    triangle = _inner([(0, 0), (cut, 0), (0, cut)], seam)
    assert _side(triangle, 0) == pytest.approx(finished, abs=1e-9)


@given(FINISHED, SEAMS)
def test_quarter_squares_finish_with_the_size_on_the_long_side(
    finished: float, seam: float
) -> None:
    cut = sizes.quarter_square(finished, seam)
    triangle = _inner([(0, 0), (cut, 0), (cut / 2, cut / 2)], seam)
    assert _side(triangle, 0) == pytest.approx(finished, abs=1e-9)


@given(FINISHED, SEAMS)
def test_four_sewn_round_finish_at_their_size(finished: float, seam: float) -> None:
    # Two squares sewn all round and cut on both diagonals make four units, each two
    # triangles joined on the square's old edge: the unit's side is half the diagonal
    # less the seam taken at that edge.
    cut = sizes.four_at_a_time(finished, seam)
    unit_before_seams = (cut - 2 * seam) / sqrt(2)
    assert unit_before_seams - 2 * seam == pytest.approx(finished, abs=1e-9)


@given(FINISHED, SEAMS)
def test_eight_at_a_time_is_two_half_squares_wide(finished: float, seam: float) -> None:
    assert sizes.eight_at_a_time(finished, seam) == pytest.approx(
        2 * finished + 2 * seam * (2 + sqrt(2)), abs=1e-9
    )


def test_the_handbook_constants_are_these_forms_at_a_quarter_inch() -> None:
    # North Hampshire Quilters, handbook page hblk402b: half-square +7/8, quarter-square +1 1/4.
    assert sizes.half_square(0, 0.25) == pytest.approx(0.8536, abs=5e-5)
    assert sizes.round_up(sizes.half_square(0, 0.25)) == Inches.parse("7/8")
    assert sizes.quarter_square(0, 0.25) == pytest.approx(1.2071, abs=5e-5)
    assert sizes.round_up(sizes.quarter_square(0, 0.25)) == Inches.parse("1 1/4")


@pytest.mark.parametrize(
    ("width", "large", "small"),
    [(8, "9 1/4", "4 7/8"), (4, "5 1/4", "2 7/8"), (2, "3 1/4", "1 7/8")],
)
def test_flying_geese_without_waste(width: int, large: str, small: str) -> None:
    # A practitioner's page on no-waste geese: 8 x 4, 4 x 2 and 2 x 1.
    assert sizes.round_up(sizes.geese_large(width, 0.25)) == Inches.parse(large)
    assert sizes.round_up(sizes.geese_small(width, 0.25)) == Inches.parse(small)


def test_eight_at_a_time_for_three_inch_units() -> None:
    # Common practice: 2F + 1 3/4.
    assert sizes.round_up(sizes.eight_at_a_time(3, 0.25)) == Inches.parse("7 3/4")
    # Derived: 2F + 2q(2 + sqrt 2), 1.7071 more than 2F at a quarter inch.
    assert sizes.eight_at_a_time(3, 0.25) == pytest.approx(2 * 3 + 1.7071, abs=5e-5)


@pytest.mark.parametrize(
    ("finished", "side", "corner"),
    [
        (4, "7", "3 3/4"),
        (6, "9 3/4", "5 1/8"),
        (8, "12 5/8", "6 5/8"),
        (9, "14", "7 1/4"),
        (10, "15 1/2", "8"),
        (12, "18 1/4", "9 3/8"),
        (14, "21 1/8", "10 7/8"),
        (15, "22 1/2", "11 1/2"),
    ],
)
def test_the_rule_rounded_up_gives_the_guild_chart(finished: int, side: str, corner: str) -> None:
    # Guild setting-triangle chart (October 2002); the rule as the Dalmeny Quilters guild gives it.
    assert sizes.round_up(sizes.side_rule(finished)) == Inches.parse(side)
    assert sizes.round_up(sizes.corner_rule(finished)) == Inches.parse(corner)


def test_setting_squares_of_an_eight_and_a_half_inch_block() -> None:
    # Derived.
    assert sizes.side_square(8.5, 0.25) == pytest.approx(13.227922, abs=5e-7)
    assert sizes.corner_square(8.5, 0.25) == pytest.approx(6.863961, abs=5e-7)
    assert sizes.side_square(8.5, 0.25) * 25.4 == pytest.approx(335.989, abs=5e-4)
    assert sizes.corner_square(8.5, 0.25) * 25.4 == pytest.approx(174.345, abs=5e-4)


def test_a_thirteen_inch_square_blunts_the_points() -> None:
    # Derived: loss 0.113961 in; it serves blocks up to 8.338835 in; 13 1/4 clears by 0.011.
    exact = sizes.side_square(8.5, 0.25)
    assert sizes.point_loss(13, exact) == pytest.approx(0.113961, abs=5e-7)
    assert sizes.point_loss(13.25, exact) == pytest.approx(-0.011, abs=5e-4)
    assert sizes.largest_block(13, 0.25) == pytest.approx(8.338835, abs=5e-7)


def test_a_fourteen_inch_block_needs_a_hair_more_than_the_published_chart() -> None:
    # Derived; a practitioner's page on on-point settings charts 21.
    exact = sizes.side_square(14, 0.25)
    assert exact == pytest.approx(21.0061, abs=5e-5)
    assert sizes.round_up(exact) == Inches.parse("21 1/8")


def test_metric_work_at_a_seven_and_a_half_millimetre_seam() -> None:
    # Derived: +25.6066, +36.2132 mm; F 210: 333.198 and 174.099 mm.
    assert sizes.half_square(0, 7.5) == pytest.approx(25.6066, abs=5e-5)
    assert sizes.quarter_square(0, 7.5) == pytest.approx(36.2132, abs=5e-5)
    assert sizes.side_square(210, 7.5) == pytest.approx(333.198, abs=5e-4)
    assert sizes.corner_square(210, 7.5) == pytest.approx(174.099, abs=5e-4)


@pytest.mark.parametrize("seam", [0.1875, 0.25, 0.375, 6 / 25.4, 7.5 / 25.4])
def test_no_recommended_square_is_below_the_exact_value(seam: float) -> None:
    for eighths in range(8, 24 * 8 + 1):
        finished = eighths / 8
        for form in (
            sizes.side_square, sizes.corner_square, sizes.half_square,
            sizes.quarter_square, sizes.eight_at_a_time, sizes.four_at_a_time,
        ):  # fmt: skip
            exact = form(finished, seam)
            for step in (sizes.EIGHTH, sizes.FIVE_MM):
                cut = sizes.round_up(exact, step)
                assert float(cut) >= exact - 1e-8
                assert float(cut) < exact + float(step) + 1e-8
                assert (cut.value / step.value).denominator == 1


def test_binary_noise_does_not_cost_an_eighth() -> None:
    assert 6 * sqrt(2) * sqrt(2) > 12
    assert sizes.round_up(6 * sqrt(2) * sqrt(2)) == Inches(Fraction(12))


@given(st.floats(0, 200))
def test_rounding_brackets_the_value(exact: float) -> None:
    assert float(sizes.round_down(exact)) <= exact + 1e-8
    assert float(sizes.round_up(exact)) >= exact - 1e-8


def test_sqrt_two_and_1_414_part_the_rule_of_thumb_at_sixteen_inches() -> None:
    # Derived: 1.414 x 16 + 1 1/4 = 23.874 and sqrt 2 x 16 + 1 1/4 = 23.8774 lie on either side of
    # 23 7/8; the exact square, 23.8345 in, is below it.
    assert sizes.round_up(sizes.side_rule(16)) == Inches.parse("23 7/8")
    assert sizes.round_up(sqrt(2) * 16 + 1.25) == Inches.parse(24)
    assert sizes.side_square(16, 0.25) == pytest.approx(23.8345, abs=5e-5)
    assert sizes.round_up(sizes.side_square(16, 0.25)) == Inches.parse("23 7/8")

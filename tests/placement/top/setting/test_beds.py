"""Quilts for beds against a guild's chart."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from placement.checks.beds import BedAsked, BedTold, judge_bed
from placement.inches import Inches
from placement.top.setting.beds import BEDS, METRIC_BEDS, Bed, fit_bed, quilt_size
from placement.top.setting.setting import Setting


@pytest.mark.parametrize(
    ("bed", "drop", "size"),
    [("twin", 12, (63, 87)), ("queen", 14, (88, 94)), ("king", 14, (104, 94))],
)
def test_a_guild_chart_of_quilt_sizes(bed: str, drop: float, size: tuple[float, float]) -> None:
    # Guild chart of quilt sizes by mattress and drop.
    assert quilt_size(BEDS[bed], drop) == size


def test_the_same_charts_twin_at_fourteen_is_for_a_mattress_one_inch_narrower() -> None:
    # The chart gives 66 x 89; that is a 38 in mattress, where ours is 39.
    narrow = Bed("twin", Inches.parse(38), Inches.parse(75))
    assert quilt_size(narrow, 14) == (66, 89)


def test_the_crib_is_within_the_safety_standard() -> None:
    # 16 CFR 1508.3: interior 28 +- 5/8 by 52 3/8 +- 5/8 in.
    assert abs(float(BEDS["crib"].width) - 28) <= 5 / 8
    assert abs(float(BEDS["crib"].length) - 52.375) <= 5 / 8


def test_metric_beds_are_exact() -> None:
    assert METRIC_BEDS["EU 140"].width.mm == 1400


def _like(kind: str, block: int, sashing: str = "0") -> Setting:
    return Setting(kind, 1, 1, Inches.parse(block), sashing=Inches.parse(sashing))  # type: ignore[arg-type]


@given(
    st.sampled_from(["on point", "straight"]),
    st.integers(4, 16),
    st.sampled_from(sorted(BEDS)),
    st.integers(0, 20),
    st.integers(0, 24),
    st.sampled_from(["0", "1 1/2"]),
)
def test_every_bed_is_covered_with_its_drop_and_no_more_than_need_be(
    kind: str, block: int, bed: str, drop: int, quarters: int, sashing: str
) -> None:
    # Widths are a(F + s) sqrt 2 on point and a(F + s) + s straight, derived.
    like, least = _like(kind, block, sashing), Inches(Fraction(quarters, 4))
    mattress = BEDS[bed]
    size = quilt_size(mattress, drop)
    assert size == (float(mattress.width) + 2 * drop, float(mattress.length) + drop)
    asked = BedAsked(
        (float(mattress.width), float(mattress.length)), drop, like, least, Inches(Fraction(1, 4))
    )
    pitch = (block + float(Inches.parse(sashing))) * (sqrt(2) if kind == "on point" else 1)
    frame = 0 if kind == "on point" else float(Inches.parse(sashing))
    # Where not even one block lies in its borders, the quilt is refused.
    assume(pitch + frame + 2 * float(least) <= min(size))
    for fitting in fit_bed(like, size, least):
        made = tuple(
            blocks * pitch + frame + 2 * float(fitting.border)
            for blocks in (fitting.setting.across, fitting.setting.down)
        )
        assert made[0] >= size[0] - 1e-6
        assert made[1] >= size[1] - 1e-6
        assert fitting.border >= least
        # One side is met to a step of the border, or the borders are as they were.
        spare = min(one - other for one, other in zip(made, size, strict=True))
        assert spare < 1 / 2 or fitting.border == least
        told = BedTold(fitting.setting, fitting.border, size, made)
        assert judge_bed(asked, told) == ()


def test_a_pattern_that_covers_a_bed_to_a_thread_is_told_once() -> None:
    # A crib of 28 x 52 in without a drop takes 7 x 13 blocks of 4 in and nothing else.
    (only,) = fit_bed(_like("straight", 4), quilt_size(BEDS["crib"], 0))
    assert (only.setting.across, only.setting.down, str(only.border)) == (7, 13, "0")


def test_a_block_larger_than_the_quilt_is_refused() -> None:
    with pytest.raises(ValueError, match="60 in"):
        fit_bed(_like("straight", 60), quilt_size(BEDS["crib"], 0))


def test_a_negative_drop_is_refused() -> None:
    with pytest.raises(ValueError, match="-2"):
        quilt_size(BEDS["twin"], -2)


@pytest.mark.parametrize(
    ("bed", "width", "length"),
    [
        ("twin", 39, 75), ("long twin", 39, 80), ("full", 54, 75), ("queen", 60, 80),
        ("king", 76, 80), ("California king", 72, 84),
    ],
)  # fmt: skip
def test_mattresses_are_as_the_trade_names_them(bed: str, width: int, length: int) -> None:
    # Common practice of North American bedding.
    assert (float(BEDS[bed].width), float(BEDS[bed].length)) == (width, length)


def test_mattresses_in_centimetres_are_as_the_trade_names_them() -> None:
    # Common practice in Britain and on the Continent.
    sizes = {name: (bed.width.mm / 10, bed.length.mm / 10) for name, bed in METRIC_BEDS.items()}
    uk = [size for name, size in sizes.items() if name.startswith("UK")]
    eu = [size for name, size in sizes.items() if name.startswith("EU")]
    assert uk == [(90, 190), (135, 190), (150, 200), (180, 200)]
    assert eu == [(width, 200) for width in (90, 140, 160, 180)]

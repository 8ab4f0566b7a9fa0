"""Quilts for beds against a guild's chart."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

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
    st.floats(0, 6),
    st.sampled_from(["0", "1 1/2"]),
)
def test_one_more_block_would_not_leave_the_border(
    kind: str, block: int, bed: str, least: float, sashing: str
) -> None:
    size = quilt_size(BEDS[bed], 10)
    fitted = fit_bed(_like(kind, block, sashing), size, least)
    assert min(fitted.border) >= least - 1e-6
    assert fitted.setting.sashing == Inches.parse(sashing)
    wider = replace(fitted.setting, across=fitted.setting.across + 1)
    step = wider.width - fitted.setting.width
    assert fitted.border[0] < least + step / 2 + 1e-6


@given(st.sampled_from(["on point", "straight"]), st.integers(4, 16), st.sampled_from(sorted(BEDS)))
def test_sashing_takes_its_room_on_every_bed(kind: str, block: int, bed: str) -> None:
    # Widths are a(F + s) sqrt 2 on point and a(F + s) + s straight, derived; one more is too many.
    size = quilt_size(BEDS[bed], 10)
    fitted = fit_bed(_like(kind, block, "1 1/2"), size, 2)
    pitch = (block + 1.5) * (sqrt(2) if kind == "on point" else 1)
    frame = 0 if kind == "on point" else 1.5
    for side, blocks in zip(size, (fitted.setting.across, fitted.setting.down), strict=True):
        assert blocks * pitch + frame <= side - 4 + 1e-6
        assert (blocks + 1) * pitch + frame > side - 4


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

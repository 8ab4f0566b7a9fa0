"""Colours against published tables and reference libraries."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palette.colour import (
    Lab,
    difference,
    from_d50,
    from_srgb,
    lab_to_light,
    light_to_lab,
    light_to_srgb,
    srgb_to_light,
    to_hex,
    to_srgb,
)

if TYPE_CHECKING:
    from types import ModuleType

PAIRS = Path(__file__).parent.parent / "data" / "ciede2000_sharma.csv"
CHECKER = "ColorChecker24 - After November 2014"
"""The edition; that of 1976 differs from it by up to 8."""

labs = st.builds(
    lambda *parts: Lab.rounded(np.array(parts)),
    st.floats(0, 100),
    st.floats(-150, 150),
    st.floats(-150, 150),
)


def test_all_34_published_pairs_of_ciede2000_come_out() -> None:
    # Sharma, Wu, Dalal 2005, table 1; the tolerance is the rounding of the table.
    pairs = np.loadtxt(PAIRS, delimiter=",", skiprows=6)
    assert pairs.shape == (34, 7)
    apart = difference(pairs[:, :3], pairs[:, 3:6])
    assert np.abs(apart - pairs[:, 6]).max() <= 5e-5


def test_a_difference_spreads_over_arrays_of_any_shape() -> None:
    lab = np.random.default_rng(1).uniform([0, -60, -60], [100, 60, 60], (5, 3))
    table = difference(lab[:, None], lab)
    assert table.shape == (5, 5)
    assert table == pytest.approx(table.T, abs=1e-12)
    assert difference(lab[0], lab[1]) == pytest.approx(table[0, 1])
    assert np.diag(table) == pytest.approx(np.zeros(5))


def test_srgb_and_lab_agree_with_colour_science(colour_science: ModuleType) -> None:
    srgb = np.random.default_rng(2).random((2000, 3))
    light = srgb_to_light(srgb)
    white = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    theirs = colour_science.XYZ_to_Lab(colour_science.sRGB_to_XYZ(srgb), white)
    assert light == pytest.approx(colour_science.cctf_decoding(srgb), abs=1e-9)
    assert light_to_srgb(light) == pytest.approx(srgb, abs=1e-9)
    assert np.abs(light_to_lab(light) - theirs).max() < 0.02


def test_colours_beyond_srgb_agree_with_colour_science(colour_science: ModuleType) -> None:
    light = np.random.default_rng(3).uniform(-0.02, 1.3, (500, 3))
    xyz = colour_science.RGB_to_XYZ(light, "sRGB")
    white = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    assert np.abs(light_to_lab(light) - colour_science.XYZ_to_Lab(xyz, white)).max() < 0.02


def test_lab_and_light_undo_each_other() -> None:
    light = np.random.default_rng(4).uniform(-0.05, 1.4, (500, 3))
    assert lab_to_light(light_to_lab(light)) == pytest.approx(light, abs=1e-9)


def test_single_colours_agree_with_arrays() -> None:
    for codes in np.random.default_rng(5).integers(0, 256, (60, 3)):
        lab = from_srgb(*codes.tolist())
        assert lab.array() == pytest.approx(light_to_lab(srgb_to_light(codes / 255)), abs=0.02)
        assert to_srgb(lab) == tuple(codes)


def test_white_is_neutral_for_single_colours_too() -> None:
    # colormath takes D50 unless told; white would then be yellow by b* = 19.
    white = from_srgb(255, 255, 255)
    assert abs(white.b) < 0.02
    assert to_hex(Lab(100, 0, 0)) == "#ffffff"


@pytest.mark.parametrize("part", [-1, 256])
def test_a_code_that_is_none_is_refused(part: int) -> None:
    with pytest.raises(ValueError, match=f"not {part}"):
        from_srgb(part, 0, 0)


def test_colours_beyond_a_screen_are_shown_as_its_nearest() -> None:
    assert to_srgb(Lab(60, 120, 100)) == (255, 0, 0)


def test_the_colour_checker_is_adapted_as_colour_science_does(colour_science: ModuleType) -> None:
    checker = colour_science.CCS_COLOURCHECKERS[CHECKER]
    xyz = colour_science.xyY_to_XYZ(np.array(list(checker.data.values())))
    d65 = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    adapted = colour_science.chromatic_adaptation(
        xyz,
        colour_science.xy_to_XYZ(checker.illuminant),
        colour_science.xy_to_XYZ(d65),
        transform="Bradford",
    )
    theirs = colour_science.XYZ_to_Lab(adapted, d65)
    ours = light_to_lab(np.array([from_d50(*patch) for patch in xyz.tolist()]))
    assert len(ours) == 24
    # The checker's D50 (ICC) and that of colormath (ASTM E308) differ by 0.0003 in Z.
    assert np.abs(ours - theirs).max() < 0.03


@given(labs)
def test_the_text_of_a_colour_reads_back(lab: Lab) -> None:
    assert Lab.parse(str(lab)) == lab


@given(labs)
def test_every_colour_has_a_web_colour(lab: Lab) -> None:
    text = to_hex(lab)
    assert len(text) == 7
    assert int(text[1:], 16) <= 0xFFFFFF


@pytest.mark.parametrize("text", ["", "red", "lab-d65(1 2)", "lab-d50(50 0 0)", "lab-d65(50,0,0)"])
def test_text_that_is_no_colour_is_named(text: str) -> None:
    with pytest.raises(ValueError, match="is not a colour"):
        Lab.parse(text)


@pytest.mark.parametrize("parts", [(-1, 0, 0), (101, 0, 0), (50, 201, 0), (50, 0, -201)])
def test_a_colour_outside_its_range_is_refused(parts: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        Lab(*parts)

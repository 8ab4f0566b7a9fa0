"""How sure differences are, held against simulated photos of other cloth in other light."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.choice import Limits
from palette.picking.contrast import judge
from palette.picking.pick import pick
from palette.uncertainty import SURE, case, chance_below, likely
from tests.bench import photographed, spectra


def cloth(name: str, lab: Lab, **fields: str) -> Fabric:
    fabric = Fabric(name, name.title(), lab, (Share(lab, 1.0),))
    return replace(fabric, **fields)  # type: ignore[arg-type]


SEEN = {"photo": "p1", "light": "window", "corrected": "white"}


def test_the_case_is_told_by_photo_light_and_correction() -> None:
    one = cloth("one", Lab(50, 0, 0), **SEEN)
    assert case(one, cloth("a", Lab(50, 0, 0))) is None
    assert case(one, one) == "one photo, corrected"
    assert case(one, replace(one, photo="p2")) == "same light, corrected"
    assert case(one, replace(one, photo="p2", light="lamp")) == "other light, corrected"
    assert case(one, replace(one, photo="p2", corrected="none")) == "same light, as taken"
    unknown = replace(one, photo="p2", light="", corrected="none")
    assert case(unknown, replace(unknown, photo="p3")) == "other light, as taken"


@pytest.mark.parametrize("how", list(photographed.CASES))
def test_stated_chances_hold_for_other_cloth_in_other_light(how: str) -> None:
    lights = sum(spectra.HOUSEHOLD_LIGHTS.values(), ())
    seen = photographed.pairs(
        photographed.CASES[how], spectra.cie_reflectances(), lights, 6000, seed=5
    )
    grid = np.linspace(0, 60, 241)
    stated = np.interp(seen.measured, grid, [chance_below(4.0, float(g), how) for g in grid])  # type: ignore[arg-type]
    for group in (stated >= SURE, is_between(stated)):
        if group.sum() > 100:
            held = (seen.true[group] < 4).mean()
            # A standard error of 2 points from 6000 pairs is allowed for, twice.
            assert abs(held - stated[group].mean()) < 0.05 + 2 * 0.5 / np.sqrt(group.sum())


def is_between(chances: np.ndarray) -> np.ndarray:
    return (chances > 1 - SURE) & (chances < SURE)


def test_the_chance_falls_with_what_was_measured_and_never_leaves_0_to_1() -> None:
    for how in photographed.CASES:
        chances = [chance_below(10, m, how) for m in np.linspace(0, 80, 161)]  # type: ignore[arg-type]
        assert all(0 <= chance <= 1 for chance in chances)
        assert chances[0] > 0.75
        assert chances[-1] == 0
        assert np.diff(chances).max() < 0.05


def test_photos_in_other_light_leave_more_open() -> None:
    width = [
        np.ptp(likely(5.0, how))
        for how in ("one photo, corrected", "other light, corrected", "other light, as taken")
    ]
    assert width[0] < width[1] < width[2]


def test_told_colours_are_sure() -> None:
    assert chance_below(4, 3.9, None) == 1
    assert chance_below(4, 4.1, None) == 0


def test_twins_across_lights_are_said_to_be_too_close_to_tell() -> None:
    near = cloth("first", Lab(50, 20, 10), **SEEN), cloth("second", Lab(53.9, 20, 10), **SEEN)
    apart = near[0], replace(near[1], photo="p2", light="lamp")
    for pair, doubtful in ((near, False), (apart, True)):
        (left,) = pick(pair, None).left_out
        assert left.reason == "twin"
        assert (left.doubt is not None) is doubtful


def test_chosen_fabrics_that_may_be_twins_are_named() -> None:
    pair = cloth("first", Lab(50, 20, 10), **SEEN), cloth("second", Lab(58, 20, 10), **SEEN)
    assert pick(pair, None).doubts == ()
    apart = pair[0], replace(pair[1], photo="p2", light="lamp")
    (doubt,) = pick(apart, None).doubts
    assert (doubt.fabric, doubt.other, doubt.doubt.together) == ("first", "second", False)
    assert 0.2 < doubt.doubt.chance < 0.8


def test_a_fabric_near_the_limit_of_sinking_is_too_close_to_tell() -> None:
    ground = cloth("ground", Lab(50, 0, 0), **SEEN)
    fabrics = [cloth(f"l{step}", Lab(50 + step, 0, 0), **SEEN) for step in (2, 11, 40)]
    for contrast, doubtful in zip(judge(fabrics, [ground]), (False, True, False), strict=True):
        assert (contrast.doubt is not None) is doubtful
    plain = [replace(fabric, photo="") for fabric in fabrics]
    assert not any(contrast.doubt for contrast in judge(plain, [ground], Limits()))

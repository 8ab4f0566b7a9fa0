"""The plan in words."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.pattern.brief import Band, Brief
from api.pattern.planner import make
from api.wording.plan import summary
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.pattern.plan import Plan


def test_the_size_is_told_with_its_border() -> None:
    # 6 x 7 on point at 8 1/2 in: 72.1249 x 84.1457 in, derived (a F sqrt 2); plus 4 in a side.
    brief = Brief(setting=Setting("on point", 6, 7, Inches.parse("8 1/2")))
    width, height = brief.size()
    assert width == pytest.approx(80.1249, abs=1e-4)
    assert height == pytest.approx(92.1457, abs=1e-4)


def test_every_number_of_the_summary_comes_from_the_plan(brief: Brief) -> None:
    plan = make(brief)
    text = " ".join(summary(plan))
    assert plan.quality is not None
    assert plan.choice is not None
    assert "32 sawtooth star blocks" in text
    assert f"{plan.quality.closest:.1f}" in text
    assert f"{plan.choice.closest:.1f}" in text
    assert f"{len(plan.choice.kept)} of {len(brief.swatches)} fabrics" in text


def test_problems_are_part_of_the_summary(brief: Brief) -> None:
    there = len(brief.swatches)
    few = make(replace(brief, count=there + 1))
    told = f"You want {there + 1} fabrics, but the bundle has only {there}."
    assert told in summary(few)[-2:]


def test_a_plan_without_fabrics_is_told_too() -> None:
    plan: Plan = make(Brief())
    assert any("add photos" in line for line in summary(plan))


def test_borders_are_told_from_the_centre_outward(brief: Brief) -> None:
    bands = tuple(Band(Inches.parse(width)) for width in ("1", "2 1/2", "4"))
    assert "with borders of 1 in, 2 1/2 in and 4 in." in " ".join(
        summary(make(replace(brief, borders=bands)))
    )
    assert "border" not in summary(make(replace(brief, borders=())))[0]


def test_a_second_feature_is_held_against_the_background_and_the_picks(brief: Brief) -> None:
    # The brief's solids: 'Nearly linen' sinks into the background, 'Twin of 0' is solid 0 again.
    ids = {swatch.fabric.name: swatch.fabric.id for swatch in brief.swatches}
    first, *others = brief.swatches
    kept = (replace(first, must_use=True), *others)
    stars = replace(brief, block="sawtooth-star", swatches=kept)

    def told(name: str, **fields: str) -> str:
        return " ".join(summary(make(replace(stars, second_fabric=ids[name], **fields))))

    assert "'Nearly linen', sinks into the background" in told("Nearly linen")
    assert "1 fabric is too like 'Twin of 0': in their blocks both features" in told("Twin of 0")
    assert "second feature" not in told("Solid 3")
    # A nine patch has no second feature, so there is nothing to tell.
    assert "both features" not in told("Twin of 0", block="nine-patch")

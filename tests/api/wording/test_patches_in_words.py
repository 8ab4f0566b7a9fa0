"""What patches of prints show, in words, at every face: sentences, HTTP and the judge's refusal."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.pattern.brief import Brief, OwnBlock
from api.pattern.checking_patches import check_patches
from api.pattern.patches import feature_sides
from api.pattern.planner import look
from api.pattern.swatch import Swatch
from api.web.wire.patches_shown import patches_out
from api.wording.contrasts import stands
from api.wording.patches import in_patches, large_prints
from palette.colour import Lab
from palette.fabric import Fabric, Print, PrintKind, Share
from placement.checks.fault import FaultKind
from placement.inches import Inches
from placement.top.setting.setting import Setting
from tests.api.wording.conftest import CREAM, solid
from tests.palette.checks.test_judge_of_patches import bold

if TYPE_CHECKING:
    from api.pattern.plan import Plan

NAVY = Lab(20.0, 2.0, -22.0)
# Of four squares of the smallest size one is cream, one half of each, two navy; of the next size
# all show what the whole does.
SQUARES = ("0-100:50-50:100-0:100-0", "62-38:62-38:63-37:63-37")
BLOCK = OwnBlock("Corner", ("1", "3"), ("1", "3"), ("F B", "B F"))


def large(squares: tuple[str, ...] | None = SQUARES) -> Fabric:
    told = Print(PrintKind.ALL_OVER, 5 * (4 * (10.0,),), squares)
    parts = Share(NAVY, 0.625), Share(CREAM, 0.375)
    return Fabric("clouds", "Clouds", Lab(56, 1, -8), parts, 0.2, print=told)


def planned(fabric: Fabric, *, known: bool = True, shows: str = "16", block: str = "4") -> Plan:
    swatch = Swatch(fabric, "", Inches.parse(shows), known)
    return look(
        Brief(
            swatches=(swatch,),
            backgrounds=(Swatch(solid("Linen", *CREAM.array()), ""),),
            setting=Setting("straight", 3, 3, Inches.parse(block)),
            own_block=BLOCK,
        )
    )


def test_patches_are_as_large_as_those_of_the_block() -> None:
    # A block of 4 in, in quarters: one patch of 1 in and one of 3 in are of the feature.
    assert feature_sides(planned(large()).brief) == (1.0, 3.0)


def test_a_large_print_cut_small_is_told_by_its_parts() -> None:
    # 1 in of 16 in is the smallest square that was looked at; in the other patch all is alike.
    plan = planned(replace(large((SQUARES[0],)), id="clouds"))
    assert in_patches(plan, "clouds").startswith(
        "Cut into patches of about 1 in to 3 in, navy leads in some 9 of 10 and cream in some 1 "
        "of 10; two of them differ by "
    )
    small = stands(plan, plan.contrasts[0])
    assert small.endswith("As a whole it does not sink into 'Linen', but some 2 of 10 of its "
                          "patches do.")  # fmt: skip
    assert large_prints(plan) == [
        "Some patches of large prints sink into 'Linen': of 'Clouds' (some 2 of 10)."
    ]
    out = patches_out(plan)["clouds"]
    assert out.sink == {"linen": 0.25}
    assert out.sentence == in_patches(plan, "clouds")


def test_the_same_print_cut_large_looks_like_the_whole() -> None:
    plan = planned(large(), block="40")
    assert in_patches(plan, "clouds") == (
        "Cut into patches of about 10 in to 30 in, all of it looks much alike."
    )
    assert "patches" not in stands(plan, plan.contrasts[0])
    assert large_prints(plan) == []


def test_where_the_real_size_is_not_known_that_is_said() -> None:
    plan = planned(large(), known=False)
    assert in_patches(plan, "clouds") == (
        "What its patches show is not known: tell how much cloth its photo shows."
    )
    assert "patches" not in stands(plan, plan.contrasts[0])
    assert not patches_out(plan)["clouds"].known


@pytest.mark.parametrize("fabric", [large(None), solid("Solid", 40, 10, 10)])
def test_nothing_is_told_of_solids_and_of_prints_read_long_ago(fabric: Fabric) -> None:
    plan = planned(fabric)
    assert in_patches(plan, fabric.id) == ""
    assert patches_out(plan) == {}


def test_the_judge_cuts_patches_from_the_picture_and_finds_what_is_told_wrongly() -> None:
    reading = bold()
    plan = planned(reading.fabric)
    (swatch,) = plan.brief.swatches
    kept = replace(plan, brief=replace(plan.brief, swatches=(replace(swatch, picture="p"),)))
    pictures = {"p": reading.picture}
    assert check_patches(kept, pictures) == ()
    assert check_patches(kept, {}) == ()
    told = replace(reading.fabric.print, squares=("34-33-33",))  # type: ignore[type-var]
    wrong = replace(swatch, picture="p", fabric=replace(reading.fabric, print=told))
    planted = replace(plan, brief=replace(plan.brief, swatches=(wrong,)))
    assert {each.kind for each in check_patches(planted, pictures)} == {FaultKind.PATCHES_APART}

"""What each way of making units does, told before one is chosen, and its judge."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from api.pattern.cut_book import cut_book
from api.pattern.methods import Effect, checked_methods, effects
from api.wording.cutting import cutting_text
from api.wording.effects import effect_words, effects_text
from api.wording.pieces import hand
from placement.checks.fault import FaultKind
from placement.checks.methods import Told, judge_methods
from placement.cloth.methods import METHODS
from placement.inches import Inches
from placement.top.setting.setting import Setting
from placement.units import UnitKind
from tests.api.varied import varied

SETTING = Setting("straight", 3, 2, Inches.parse(8))


LARGE = Setting("straight", 6, 7, Inches.parse(8))


def _plan(block: str = "sawtooth-star", setting: Setting = SETTING, **sewing: Any) -> Any:
    plan = varied(block, 2, setting=setting, units="inches", pins=(), borders=())
    return replace(plan, brief=replace(plan.brief, sewing=replace(plan.brief.sewing, **sewing)))


def _told(each: Effect) -> Told:
    return Told(
        each.unit, each.method, each.units, each.made, each.pieces, each.shown, each.book.pieces
    )


def test_stars_take_more_cloth_by_rectangles_and_squares() -> None:
    # By hand: 24 geese of 4 x 2 in, 192 square inches. Four at a time 5 1/4 and four times
    # 2 7/8 for four; else 4 1/2 x 2 1/2 and twice 2 1/2 for one.
    plan = _plan(seam=Inches.parse("1/4"), geese="four at a time")
    told = checked_methods(plan, cut_book(plan))
    assert [(each.unit, each.method) for each in told] == [
        (UnitKind.GOOSE, method) for method in METHODS[UnitKind.GOOSE]
    ]
    four, corners = told
    assert four.pieces == four.made // 4 * 5
    assert corners.pieces == 24 * 3
    assert corners.shown == pytest.approx(192 / (24 * (4.5 * 2.5 + 2 * 2.5 * 2.5)))
    assert four.shown == pytest.approx(192 / (four.made / 4 * (5.25**2 + 4 * 2.875**2)))
    assert corners.units == corners.made == 24


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        ({"units": 25}, FaultKind.METHOD_TOLD),
        ({"pieces": 71}, FaultKind.METHOD_TOLD),
        ({"shown": 0.5}, FaultKind.METHOD_TOLD),
        ({"made": 23}, FaultKind.METHOD_TOLD),
        ({"method": "one"}, FaultKind.METHODS_TOLD),
        (None, FaultKind.METHODS_TOLD),
    ],
)
def test_a_number_told_wrongly_of_a_method_is_found(
    change: dict[str, Any] | None, kind: FaultKind
) -> None:
    plan = _plan(geese="rectangle and squares")
    told = [_told(each) for each in effects(plan, cut_book(plan))]
    block, blocks = plan.brief.pattern(), 6
    assert judge_methods(block, 8.0, blocks, told) == ()
    planted = told[1:] if change is None else [replace(told[0], **change), *told[1:]]
    assert {found.kind for found in judge_methods(block, 8.0, blocks, planted)} == {kind}


@pytest.mark.slow
def test_the_ways_in_use_come_first_and_a_change_is_told() -> None:
    plan = _plan(setting=LARGE, geese="rectangle and squares", form="yardage", cloths=())
    book = cut_book(plan)
    told = effects(plan, book)
    hers, other = (effect_words(each, book, hand(plan, book)) for each in told)
    assert (hers.name, hers.change) == ("from a rectangle and two squares", "")
    assert "the corners cut off are waste" in hers.special
    assert other.name == "four at a time"
    assert " less of " in other.change
    text = effects_text(told, book, hand(plan, book))
    assert text.startswith("Flying geese\n- From a rectangle and two squares (as now): 504 pieces")


def test_a_block_without_units_has_no_ways() -> None:
    plan = _plan("nine-patch")
    book = cut_book(plan)
    assert effects(plan, book) == ()
    assert "no units" in effects_text((), book, hand(plan, book))


def test_the_text_tells_how_many_units_are_made_in_which_way() -> None:
    """A pinwheel has four half squares; of its sizes half, and two seams (by hand)."""
    plan = _plan("pinwheel", triangles="eight", seam=Inches.parse("1/4"))
    text = cutting_text(plan, cut_book(plan))
    (line,) = [one for one in text.splitlines() if one.startswith("- Half-square triangle units,")]
    assert line.startswith("- Half-square triangle units, 4 1/2 in with seam allowance: ")
    assert sum(map(int, re.findall(r"(\d+) (?:eight|two) at a time", line))) == 6 * 4

"""Pressing, layout and drawing of a plan turn the same blocks by the same angle."""

from __future__ import annotations

from dataclasses import replace

import pytest

from api.cutbook import cut_book
from api.drawing.quilt import quilt_scene
from api.plan import Brief
from api.planner import make, revise
from api.summary import summary
from placement.block import block_names
from placement.checks import judge_turns
from placement.checks.cutting import judge_cutting
from placement.inches import Inches
from placement.top.setting import Setting


@pytest.fixture(scope="module")
def small(brief: Brief) -> Brief:
    return replace(brief, setting=Setting("straight", 3, 3, Inches.parse(9)))


@pytest.mark.parametrize("name", block_names())
def test_the_layout_turns_by_what_the_pressing_advises(small: Brief, name: str) -> None:
    plan = make(replace(small, block=name))
    assert plan.layout is not None
    pressing = cut_book(plan).pressing
    if pressing.turn:
        assert plan.layout.turn == pressing.turn
        assert judge_turns(plan.layout.setting, plan.layout.turned) == ()
        words = "half round" if pressing.turn == 180 else "a quarter round"
        assert words in pressing.sentence
        assert any(f"turned {words}" in line for line in summary(plan))
    else:
        assert plan.layout.turned == ()
    # The look of the block never changes by a turn.
    assert pressing.turn in (0, *plan.brief.pattern().same_when_turned())


def test_a_quarter_turn_is_drawn_as_one(small: Brief) -> None:
    plan = make(replace(small, block="nine-patch"))
    assert plan.layout is not None
    assert plan.layout.turn == 90
    turned = plan.layout.turned[0]
    drawn = [p for p in quilt_scene(plan).pieces if p.cell == turned]
    upright = replace(plan, layout=replace(plan.layout, turned=()))
    before = [p for p in quilt_scene(upright).pieces if p.cell == turned]
    x, y = plan.layout.setting.centre(plan.layout.setting.cells()[turned])
    edge = plan.brief.edge
    for one, other in zip(before, drawn, strict=True):
        for (x0, y0), (x1, y1) in zip(one.points, other.points, strict=True):
            # A quarter turn clockwise as seen takes (dx, dy) to (-dy, dx).
            assert (x1 - x - edge, y1 - y - edge) == pytest.approx((y + edge - y0, x0 - x - edge))


@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize("stones", [False, True])
def test_sashing_ends_all_turning_and_is_cut_soundly(small: Brief, kind: str, stones: bool) -> None:
    plan = make(small)
    sash = Inches.parse("1 1/2")
    setting = replace(small.setting, kind=kind, sashing=sash, cornerstones=stones)
    sashed = revise(plan, replace(small, setting=setting))
    assert sashed.layout is not None
    assert sashed.layout.turned == ()
    book = cut_book(sashed)
    assert (book.pressing.turn, len(book.pressing.plans)) == (0, 1)
    assert book.sashing is not None
    for cloth in book.cloths:
        pieces = tuple(replace(p, fabric="") for p in book.pieces if p.fabric == cloth.fabric)
        assert judge_cutting(pieces, cloth) == ()

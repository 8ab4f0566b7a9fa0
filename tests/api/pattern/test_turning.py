"""Pressing, layout and drawing of a plan turn the same blocks by the same angle."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.drawing.quilt import quilt_scene
from api.pattern.cut_book import cut_book
from api.pattern.planner import make, revise
from api.wording.cutting import cutting_text
from api.wording.plan import summary
from api.wording.pressing import pressing_words
from placement.block import block_names
from placement.checks import judge_turns
from placement.checks.cutting import judge_cutting
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.pattern.brief import Brief


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
        assert words in pressing_words(pressing)
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
    # Each fabric by a plan of its own, so that what is cut of it is held to its own pieces.
    sewing = replace(small.sewing, alike=False)
    sashed = revise(plan, replace(small, setting=setting, sewing=sewing))
    assert sashed.layout is not None
    assert sashed.layout.turned == ()
    book = cut_book(sashed)
    assert (book.pressing.turn, len(book.pressing.plans)) == (0, 1)
    assert book.sashing is not None
    for cloth in book.cloths:
        pieces = tuple(replace(p, fabric="") for p in book.pieces if p.fabric == cloth.fabric)
        assert judge_cutting(pieces, cloth) == ()


def test_sashing_is_told_in_words(small: Brief) -> None:
    # 4 x 5 on point: 4ab strips, 2ab - a - b whole and 2(a + b) half cornerstones; a long strip
    # of one pitch takes 10 + 1 1/2 + 2q(1 + sqrt 2) = 12.7071 in, derived.
    sash = Inches.parse("1 1/2")
    setting = Setting("on point", 4, 5, Inches.parse("8 1/2"), False, sash, True)
    plan = make(replace(small, setting=setting))
    text = cutting_text(plan, cut_book(plan))
    for said in (
        "80 sashing strips of 2 in x 9 in",
        "31 cornerstones of 2 in",
        "18 half cornerstones at the quilt's edge: cut 5 squares of 3 3/8 in",
        "all seams nest",
    ):
        assert said in text
    long = revise(plan, replace(plan.brief, setting=replace(setting, cornerstones=False)))
    text = cutting_text(long, cut_book(long))
    assert "40 sashing strips of 2 in x 9 in" in text
    assert "Long sashing strips between the rows: 2 of 12 3/4 in, 2 of 32 3/4 in" in text

"""Other forms of cloth for a whole plan: the worked scenario, every kind of plan, in words."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.pattern.alternates import blocks_of, chosen_forms, every_form
from api.pattern.checking import check, checked_forms
from api.pattern.cut_book import cut_book
from api.pattern.planner import look
from api.pattern.sewing import OwnCloth, Sewing
from api.pattern.turning import with_turns
from api.wording.alternates import alternates_text, cutting_of, form_sentence, of_another_way
from api.wording.cutting import cutting_text
from api.wording.faults import sentences
from api.wording.pieces import hand
from placement.cloth.forms import SOLD, Along, FormKind
from placement.cloth.whole import nothing_cut
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting
from tests.api.varied import PLANS, plan_named

if TYPE_CHECKING:
    from api.pattern.brief import Brief
    from api.pattern.plan import Plan

SEVEN = Setting("on point", 6, 7, Inches.parse(7))
THREE = (FormKind.FAT_QUARTER, FormKind.QUARTER_YARD, FormKind.TALL_FAT_EIGHTH)


def _plan(brief: Brief, setting: Setting, fabrics: int, block: str, **sewing: object) -> Plan:
    """Return a plan of so many fabrics that share the blocks."""
    swatches = [
        replace(s, fabric=replace(s.fabric, id=f"f{n}", name=f"Fabric {n}"), directional=False)
        for n, s in enumerate((brief.swatches * 2)[:fabrics])
    ]
    made = replace(brief, swatches=tuple(swatches), setting=setting, block=block, own_block=None,
                   sewing=Sewing(**sewing))  # type: ignore[arg-type]  # fmt: skip
    cells = tuple(f"f{cell % fabrics}" for cell in range(len(setting.cells())))
    looked = look(made)
    assert looked.choice is not None
    kept = tuple(f"f{n}" for n in range(fabrics))
    picks = replace(looked.choice, kept=kept, left_out=())
    chosen = replace(looked, choice=picks)
    return replace(chosen, layout=with_turns(chosen, Layout(setting, cells)))


@pytest.fixture(scope="module")
def scenario(brief: Brief) -> Plan:
    """Return a scenario worked by hand: 72 uneven nine patches of 7 in from 18 fat eighths."""
    return _plan(brief, SEVEN, 18, "uneven-nine-patch", form="fat eighth", alternates=THREE)


def test_alternates_of_the_worked_scenario_side_by_side(scenario: Plan) -> None:
    book = cut_book(scenario)
    told = hand(scenario, book)
    said = [form_sentence(each, told) for each in chosen_forms(scenario, book)]
    # By hand: two of each strip, 17 in of 17 1/2; 8 1/2 in of 8 1/2; four strips of 2 1/4 and two
    # of 4, 17 in of 17 1/2. A piece of 20 1/2 in gives nine slices, so up to nine blocks.
    assert said == [
        (
            "Fat quarter, 18 in x 21 in: 18 fat quarters, 1 of each fabric; 8 blocks from one (up "
            "to 9), 1/2 in of height to spare; 9 fat quarters would do with 9 fabrics, 8 blocks "
            "each; cut in the same way."
        ),
        (
            "Quarter yard, 9 in x 42 in: 18 quarter yards, 1 of each fabric; 8 blocks from one, "
            "nothing to spare; 9 quarter yards would do with 9 fabrics, 8 blocks each; cut "
            "otherwise than the usual form."
        ),
        (
            "Fat eighth, tall, 11 in x 18 in, strips along its short side: 18 fat eighths, tall, 1 "
            "of each fabric; 4 blocks from one, 1/2 in of height to spare; cut otherwise than "
            "the usual form."
        ),
    ]


def test_both_ways_of_a_pre_cut_are_told_and_the_form_in_use_comes_first(scenario: Plan) -> None:
    told = checked_forms(scenario, cut_book(scenario))
    assert told[0].form.kind is FormKind.FAT_EIGHTH
    assert {each.form.kind for each in told} == set(SOLD)
    tall = [each for each in told if each.form.kind is FormKind.TALL_FAT_EIGHTH]
    assert [(each.along, each.most) for each in tall] == [(Along.LONG, 3), (Along.SHORT, 4)]


def test_each_way_of_cutting_is_told_once(scenario: Plan) -> None:
    book = cut_book(scenario)
    told, chosen = hand(scenario, book), chosen_forms(scenario, book)
    others = [each.form.kind for each in of_another_way(chosen)]
    assert others == [FormKind.QUARTER_YARD, FormKind.TALL_FAT_EIGHTH]
    heading, *steps = cutting_of(chosen[2], told)
    assert heading == (
        "4 blocks of one fabric from 1 fat eighth, tall, strips along the short side"
    )
    assert any("2 strips 4 in" in step for step in steps), steps
    text = alternates_text(every_form(scenario, book), chosen, told)
    assert text.count("of one fabric from") == 2


def test_judges_see_alternates_before_anything_is_cut(
    scenario: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = cut_book(scenario)
    assert sentences(scenario, check(scenario, book)) == ()
    wrong = tuple(replace(each, fewest=1) for each in chosen_forms(scenario, book))
    monkeypatch.setattr("api.pattern.checking.chosen_forms", lambda *_: wrong)
    check.cache_clear()
    said = sentences(scenario, check(scenario, book))
    assert "1 pieces of the form fat quarter are told; 9 are found." in said
    check.cache_clear()


@pytest.mark.slow
@pytest.mark.parametrize("name", [*PLANS][::8])
def test_no_judge_finds_fault_with_any_form_for_any_plan(name: str) -> None:
    plan = plan_named(name)
    book = cut_book(plan)
    assert len(checked_forms(plan, book)) >= len(SOLD)
    assert sum(blocks_of(plan, book).shares) == sum(map(bool, plan.layout.fabrics))  # type: ignore[union-attr]


def test_a_pre_cut_of_ones_own_measure(scenario: Plan) -> None:
    half = replace(scenario.brief.sewing, form=FormKind.OWN)
    with pytest.raises(ValueError, match="needs its usable height and width"):
        cut_book(_with(scenario, half))
    sides = {"own_height": Inches.parse("8 1/2"), "own_width": Inches.parse("20 1/2")}
    mine = _with(scenario, replace(half, alternates=(FormKind.OWN,), **sides))
    book = cut_book(mine)
    assert book.problems == ()
    assert sentences(mine, check(mine, book)) == ()
    assert "piece of your own measure" in cutting_text(mine, book)


def _with(plan: Plan, sewing: Sewing) -> Plan:
    return replace(plan, brief=replace(plan.brief, sewing=sewing))


def test_strips_along_the_short_side_are_cut_so_in_the_whole_plan(scenario: Plan) -> None:
    sewing = replace(scenario.brief.sewing, form=FormKind.TALL_FAT_EIGHTH, alternates=())
    assert cut_book(_with(scenario, sewing)).problems != ()
    turned = _with(scenario, replace(sewing, along=Along.SHORT))
    book = cut_book(turned)
    assert book.problems == ()
    assert sentences(turned, check(turned, book)) == ()


def test_a_nine_patch_of_whole_five_inch_squares_takes_nine_a_block(brief: Brief) -> None:
    # Patches of 5 in: finished 4 1/2, the block 13 1/2.
    setting = Setting("straight", 2, 2, Inches.parse("13 1/2"))
    plan = _plan(brief, setting, 2, "nine-patch", form="five-inch square")
    cloths = (
        OwnCloth("f0", "five-inch square", 10),
        OwnCloth("f1", "five-inch square", 10),
        OwnCloth(plan.background, "five-inch square", 16),
    )
    plan = replace(plan, brief=replace(plan.brief, borders=(), binding_fabric="f0"))
    plan = replace(plan, brief=replace(plan.brief, swatches=_also(plan, "bound")))
    plan = replace(plan, brief=replace(plan.brief, binding_fabric="bound"))
    plan = _with(plan, replace(plan.brief.sewing, cloths=cloths))
    book = cut_book(plan)
    squares = [c for c in book.cloths if c.cloth.form.kind is FormKind.FIVE_INCH_SQUARE]
    assert all(nothing_cut(cloth) for cloth in squares)
    assert sum(cloth.cloth.count for cloth in squares) == 9 * 4
    assert book.strip_sets == ()
    assert "Use 16 five-inch squares as they come, uncut: 16 squares of 5 in." in cutting_text(
        plan, book
    )


def _also(plan: Plan, name: str) -> tuple[object, ...]:
    first = plan.brief.swatches[0]
    return (*plan.brief.swatches, replace(first, fabric=replace(first.fabric, id=name, name=name)))

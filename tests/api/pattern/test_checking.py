"""Every plan passes every judge, and what a judge finds fault with is refused in words."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, get_args

import pytest

from api.pattern.brief import Pin
from api.pattern.checking import approved, check, checked_book
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.faulty import FaultsError
from api.pattern.planner import make
from api.wording.faults import SENTENCES, refusal, sentence, sentences
from placement.checks.fault import FaultKind, fault
from placement.cloth.methods import Geese, Method, Quarters
from placement.inches import Inches
from placement.top.setting.layout import EMPTY
from placement.top.setting.setting import Cell, Setting
from tests.api.varied import PLANS, plan_named

if TYPE_CHECKING:
    from api.pattern.brief import Brief
    from api.pattern.plan import Plan


@cache
def _made(name: str) -> tuple[Plan, CutBook]:
    plan = plan_named(name)
    return plan, cut_book(plan)


@pytest.mark.parametrize("name", PLANS)
def test_every_plan_passes_every_judge(name: str) -> None:
    plan, book = _made(name)
    assert sentences(plan, check(plan, book)) == ()
    assert approved(plan, book) is book


def test_the_plans_are_of_every_kind() -> None:
    """Twenty plans and more: both settings and units, all that lies around, all ways of cutting."""
    plans = [_made(name)[0] for name in PLANS]
    briefs = [plan.brief for plan in plans]
    assert len(plans) >= 20
    assert {b.setting.kind for b in briefs} == {"on point", "straight"}
    assert {b.units for b in briefs} == {"inches", "metric"}
    assert {b.setting.alternate for b in briefs} == {True, False}
    assert {bool(b.setting.sashing.value) for b in briefs} == {True, False}
    assert {len(b.borders) for b in briefs} >= {0, 1, 2, 3}
    assert {b.sewing.grain for b in briefs} == {"straight", "bias"}
    assert {b.sewing.corner for b in briefs} == {"butted", "mitred"}
    assert {b.sewing.triangles for b in briefs} == set(get_args(Method))
    assert {b.sewing.geese for b in briefs} == set(Geese)
    assert {b.sewing.quarters for b in briefs} == set(Quarters)
    assert {bool(b.sewing.side_square) for b in briefs} == {True, False}
    assert any(b.own_block for b in briefs)
    assert any(EMPTY in plan.layout.fabrics for plan in plans if plan.layout)
    assert any(plan.layout.turned for plan in plans if plan.layout)


def test_a_book_that_a_judge_finds_fault_with_is_refused() -> None:
    plan, book = _made("shoo-fly 0")
    first, *others = book.pieces
    wrong = replace(book, pieces=(replace(first, count=first.count + 9), *others))
    with pytest.raises(FaultsError) as refused:
        approved(plan, wrong)
    faults = refused.value.faults
    assert {found.kind for found in faults} >= {FaultKind.CLOTHS_SHARED}
    assert "nothing is cut by it" in refusal(plan, faults)


SETTINGS = (
    Setting("on point", 4, 5, Inches.parse("8 1/2")),
    Setting("on point", 3, 3, Inches.parse(6), sashing=Inches.parse(1)),
    Setting("on point", 3, 4, Inches.parse(6), alternate=True),
    Setting("straight", 5, 4, Inches.parse(6)),
    Setting("straight", 5, 5, Inches.parse(6), alternate=True),
)


@pytest.mark.parametrize("setting", SETTINGS, ids=str)
def test_what_is_told_of_neighbours_is_judged(brief: Brief, setting: Setting) -> None:
    """By another implementation of CIEDE2000, scikit-image's on single colours."""
    holed = replace(brief, setting=setting, pins=(Pin(2, ""),))
    for plan in (make(replace(brief, setting=setting)), make(holed)):
        book, quality = cut_book(plan), plan.quality
        assert quality is not None
        assert quality.closest_cells is not None
        assert check(plan, book) == ()
        wrong = replace(plan, quality=replace(quality, closest=quality.closest - 0.1))
        assert {found.kind for found in check(wrong, book)} == {FaultKind.CLOSEST}
        wrong = replace(plan, quality=replace(quality, copies_apart=quality.copies_apart + 0.1))
        assert {found.kind for found in check(wrong, book)} == {FaultKind.COPIES_APART}


def test_repeated_questions_are_answered_once(monkeypatch: pytest.MonkeyPatch) -> None:
    plan, _ = _made("rail-fence 0")
    checked_book(plan)
    monkeypatch.setattr("api.pattern.checking._cut", None)
    checked_book(replace(plan))


def test_every_kind_of_fault_has_its_words() -> None:
    assert SENTENCES.keys() == set(FaultKind)


def test_faults_name_fabrics_cells_and_lengths_as_people_do() -> None:
    plan, _ = _made("uneven-nine-patch 1")
    said = fault(FaultKind.BANNED, cell=Cell(1, 0), fabric="fabric-0")
    assert sentence(plan, said) == "Row 2, place 1 must not hold 'Moss: dark, no. 2'."
    border = fault(FaultKind.BORDER_SIDES, number=1, said=70.5, wanted=Inches.parse("70 1/4"))
    assert sentence(plan, border) == "The sides of border 1 are 70.5 in; they must be 70 1/4 in."

"""The judge of simple plans says no to every planted fault."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from placement.checks.cutting import judge_cutting
from placement.checks.fault import FaultKind
from placement.checks.simplicity import judge_instructions, judge_simplicity
from placement.cloth.aims import cut_for
from placement.cloth.cut_terms import QUARTER_YARD, CutTerms
from placement.cloth.cutting import Aim, Cloth, CuttingPlan, Otherwise, Piece, PieceKind, Then, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.handwork import Handwork
from placement.cloth.instructions import Instruction, instructions
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable

SET = Use(PieceKind.SET_STRIP)


def _size(text: str | int) -> Inches:
    return Inches.parse(text)


PIECES = (
    Piece(SET, "", _size("18 1/4"), _size(4), 5, then=Then.STRIP_SET),
    Piece(Use(PieceKind.PATCH), "", _size(6), _size(3), 11),
    Piece(Use(PieceKind.SIDE), "", _size("11 1/8"), _size("11 1/8"), 6),
)


@pytest.fixture(scope="module")
def plan() -> CuttingPlan:
    """Return a sound plan: halves at the fold, three setting squares to a strip, patches."""
    return cut_for(PIECES, Cloth("", form_of(FormKind.YARDAGE)))


def _halves(plan: CuttingPlan) -> list[int]:
    return [c.number for c in plan.cuts if c.use == SET]


def _patches(plan: CuttingPlan) -> list[int]:
    return [c.number for c in plan.cuts if c.use == Use(PieceKind.PATCH)]


def _with(plan: CuttingPlan, number: int, **changes: Any) -> CuttingPlan:
    cuts = tuple(replace(c, **changes) if c.number == number else c for c in plan.cuts)
    return replace(plan, cuts=cuts)


def _alone(plan: CuttingPlan) -> int:
    """Return the number of the half that has its strip to itself."""
    parents = [c.inside for c in plan.cuts if c.use == SET]
    return next(c.number for c in plan.cuts if c.use == SET and parents.count(c.inside) == 1)


def _work(plan: CuttingPlan, **more: int) -> CuttingPlan:
    work = plan.handwork
    changed = {name: getattr(work, name) + step for name, step in more.items()}
    return replace(plan, handwork=replace(work, **changed))


def _other(plan: CuttingPlan, **changes: Any) -> CuttingPlan:
    assert plan.otherwise is not None
    return replace(plan, otherwise=replace(plan.otherwise, **changes))


def _judged(plan: CuttingPlan) -> list[FaultKind]:
    return [found.kind for found in judge_simplicity(PIECES, plan, QUARTER_YARD)]


def test_sound_plans_of_both_aims_have_no_fault(plan: CuttingPlan) -> None:
    assert judge_cutting(PIECES, plan) == ()
    assert _judged(plan) == []
    least = cut_for(PIECES, plan.cloth, CutTerms(Aim.LEAST))
    assert _judged(least) == []
    assert plan.handwork < least.handwork


FAULTS: dict[str, tuple[Callable[[CuttingPlan], CuttingPlan], FaultKind]] = {
    "instructions": (lambda p: _work(p, instructions=-1), FaultKind.HANDWORK),
    "settings": (lambda p: _work(p, settings=1), FaultKind.HANDWORK),
    "cuts": (lambda p: _work(p, cuts=-1), FaultKind.HANDWORK),
    "another size": (lambda p: _with(p, _patches(p)[0], width=_size(5)), FaultKind.HANDWORK),
    "dearer": (lambda p: _other(p, buy=_size("4 1/2")), FaultKind.ALLOWANCE),
    "no simpler": (
        lambda p: _other(p, handwork=replace(p.handwork, settings=p.handwork.settings - 1)),
        FaultKind.NO_SIMPLER,
    ),
    "as little cloth": (lambda p: _other(p, used=p.used), FaultKind.LEAST_NO_SIMPLER),
    "turned": (lambda p: _with(p, _halves(p)[0], turned=True), FaultKind.SET_TURNED),
    "two grains": (
        lambda p: _with(p, _patches(p)[0], width=_size(3), height=_size(6)), FaultKind.TWO_GRAINS,
    ),
    "trimmed": (lambda p: _with(p, _alone(p), width=_size("18 1/4")), FaultKind.TRIMMED),
    "off the fold": (lambda p: _with(p, _halves(p)[0], x=_size("1/2")), FaultKind.OFF_FOLD),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_every_planted_fault_is_named(plan: CuttingPlan, name: str) -> None:
    plant, kind = FAULTS[name]
    assert kind in _judged(plant(plan))


def test_a_least_plan_beside_a_simplest_that_asks_for_more_is_a_fault(plan: CuttingPlan) -> None:
    other = Otherwise(Inches(plan.used.value + 1), plan.buy, Handwork(9, 9, 99))
    told = replace(plan, aim=Aim.LEAST, otherwise=other)
    assert _judged(told) == [FaultKind.NO_SIMPLER]


def test_a_strip_of_a_set_too_short_for_its_slices_is_a_fault(plan: CuttingPlan) -> None:
    short = _with(plan, _halves(plan)[0], width=_size(18))
    assert FaultKind.SET_STRIP_CUT in [f.kind for f in judge_cutting(PIECES, short)]
    # 19 in is long enough, but neither the length asked for nor the cloth's whole or half.
    odd = _with(plan, _halves(plan)[0], width=_size(19))
    assert FaultKind.LIES_WRONG in [f.kind for f in judge_cutting(PIECES, odd)]


def _lines(plan: CuttingPlan) -> tuple[Instruction, ...]:
    return instructions(plan.cuts, plan.cloth.form.width)


def test_sound_instructions_have_no_fault(plan: CuttingPlan) -> None:
    assert judge_instructions(plan, _lines(plan)) == ()


LINE_FAULTS: dict[
    str, tuple[Callable[[tuple[Instruction, ...]], tuple[Instruction, ...]], FaultKind]
] = {
    "left out": (lambda lines: lines[1:], FaultKind.LINE_STRIPS),
    "told twice": (lambda lines: (*lines, lines[0]), FaultKind.LINE_STRIPS),
    "height": (
        lambda lines: (replace(lines[0], height=_size(1)), *lines[1:]), FaultKind.LINE_HEIGHT,
    ),
    "pieces": (lambda lines: (replace(lines[0], sub_cuts=()), *lines[1:]), FaultKind.LINE_PIECES),
    "each": (
        lambda lines: tuple(
            replace(line, sub_cuts=tuple(replace(s, each=s.each + 1) for s in line.sub_cuts))
            for line in lines
        ),
        FaultKind.LINE_PIECES,
    ),
    "whole": (lambda lines: (replace(lines[0], whole=True), *lines[1:]), FaultKind.LINE_FOLD),
    "not halved": (
        lambda lines: tuple(replace(line, halved=False) for line in lines), FaultKind.LINE_FOLD,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", LINE_FAULTS)
def test_every_fault_planted_in_instructions_is_named(plan: CuttingPlan, name: str) -> None:
    plant, kind = LINE_FAULTS[name]
    assert kind in [f.kind for f in judge_instructions(plan, plant(_lines(plan)))]

"""The judge of the shopping list finds what is planted."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from placement.checks.fault import FaultKind
from placement.checks.shopping import judge_backing_need, judge_need
from placement.cloth.aims import cut_for
from placement.cloth.cutting import Cloth, CuttingPlan, Piece, PieceKind, Use
from placement.cloth.enough import with_enough
from placement.cloth.forms import FormKind, form_of, own_form
from placement.cloth.shopping import BackingNeed, Much, Need, backing_need, need_of
from placement.inches import Inches
from placement.top.setting.finishing import backing

YARDAGE = form_of(FormKind.YARDAGE)
PATCH = Piece(Use(PieceKind.PATCH), "", Inches.parse(4), Inches.parse(4), 30)


def _solve(pieces: tuple[Piece, ...], cloth: Cloth) -> CuttingPlan:
    return cut_for(pieces, cloth)


def _need(cloth: Cloth, owned: Much, *pieces: Piece) -> tuple[CuttingPlan, Need]:
    def attempt(count: int) -> CuttingPlan:
        return _solve(pieces, replace(cloth, count=count))

    plan = with_enough(pieces, attempt(cloth.count), attempt)
    return plan, need_of(plan, pieces, owned, YARDAGE, _solve)


def test_a_yard_and_a_half_at_hand_of_what_takes_two_leaves_half_a_yard_and_the_ends() -> None:
    # 162 squares of 4 in: ten a strip of 40 in, 17 strips, 68 in. From 54 in come 13 strips (52
    # in), 130 squares; 4 strips are missing, 16 in: with 3 % of shrinkage and 1/2 in for the
    # ends 17.01 in, 1/2 yd.
    patches = replace(PATCH, count=162)
    long = Inches.parse("1 1/2 yd")
    assert long == Inches.parse(54)
    plan, need = _need(Cloth("", YARDAGE, length=long), Much(length=long), patches)
    assert (need.needed.length, need.buy.length) == (Inches.parse(68), Inches.parse(18))
    assert judge_need([patches], plan, (0, long), need) == ()


def test_of_fat_eighths_as_many_are_bought_as_are_not_at_hand() -> None:
    # Five squares of 4 in from 20 1/2 in, two strips from 8 1/2 in: ten from one, three for 30.
    eighth = form_of(FormKind.FAT_EIGHTH)
    for owned, buy in ((1, 2), (0, 3)):
        plan, need = _need(Cloth("", eighth), Much(owned), PATCH)
        assert (need.needed.count, need.buy.count) == (3, buy)
        assert judge_need([PATCH], plan, (owned, None), need) == ()
    plan, need = _need(Cloth("", eighth, 4), Much(4), PATCH)
    assert (need.needed.count, need.buy.count) == (3, 0)


def test_a_leftover_can_not_be_bought_again_so_that_the_rest_is_yardage() -> None:
    left = Cloth("", own_form(Inches.parse(9), Inches.parse(12)))
    plan, need = _need(left, Much(1), PATCH)
    # Six squares from 9 x 12 in; 24 more are three strips of yardage, 12 in: 1/2 yd would be
    # too much, 12.88 in are three eighths of a yard.
    assert (need.owned.count, need.buy) == (1, Much(length=Inches.parse("13 1/2")))
    assert need.form is YARDAGE
    assert judge_need([PATCH], plan, (1, None), need) == ()


def test_a_piece_larger_than_any_cloth_is_lacking_not_bought() -> None:
    huge = replace(PATCH, width=Inches.parse(60), height=Inches.parse(60), count=1)
    plan, need = _need(Cloth("", form_of(FormKind.FAT_EIGHTH)), Much(1), huge)
    assert (need.lacking, need.buy) == (((huge, 1),), Much(length=Inches.parse(0)))
    assert judge_need([huge], plan, (1, None), need) == ()


LONG = Inches.parse(54)
PATCHES = replace(PATCH, count=162)


@pytest.fixture(scope="module")
def short() -> tuple[CuttingPlan, Need]:
    return _need(Cloth("", YARDAGE, length=LONG), Much(length=LONG), PATCHES)


def test_planted_faults_are_found(short: tuple[CuttingPlan, Need]) -> None:
    plan, need = short
    rest = need.rest
    assert rest
    eighth = Inches.parse("4 1/2")
    planted = [
        (replace(need, owned=Much(length=Inches.parse(72))), FaultKind.AT_HAND),
        (replace(need, owned=Much(1, LONG)), FaultKind.AT_HAND),
        (replace(need, fabric="moss"), FaultKind.NEED_FABRIC),
        (replace(need, form=form_of(FormKind.FAT_EIGHTH)), FaultKind.NEED_FABRIC),
        (replace(need, needed=Much(length=LONG)), FaultKind.NEEDED),
        (replace(need, buy=Much(length=Inches(need.buy.length.value + eighth.value))),
         FaultKind.TO_BUY),
        (replace(need, buy=Much()), FaultKind.TO_BUY),
        (replace(need, rest=None), FaultKind.NEED_UNMET),
        (replace(need, pieces=()), FaultKind.NEED_UNMET),
        (replace(need, lacking=plan.missing), FaultKind.NEED_UNMET),
    ]  # fmt: skip
    for told, kind in planted:
        assert kind in {found.kind for found in judge_need([PATCHES], plan, (0, LONG), told)}


def test_what_is_bought_though_it_is_at_hand_is_found() -> None:
    plan, need = _need(Cloth("", form_of(FormKind.FAT_EIGHTH), 4), Much(4), PATCH)
    told = replace(need, buy=Much(3))
    assert [f.kind for f in judge_need([PATCH], plan, (4, None), told)] == [FaultKind.TO_BUY]


def test_lengths_of_a_backing_at_hand_are_not_bought() -> None:
    # A quilt of 60 x 90 in and 4 in a side: 68 in across, two lengths of 98 in, 40 in wide.
    way = backing(60.0, 90.0, YARDAGE.width)[0]
    assert (way.panels, way.panel_length) == (2, 98.0)
    step, shrunk = Fraction(9, 2), Fraction(3, 100)
    whole = backing_need(way, [], YARDAGE)
    one = backing_need(way, [Inches.parse(100)], YARDAGE)
    assert (one.owned, backing_need(way, [Inches.parse(97)], YARDAGE)) == (1, whole)
    assert backing_need(way, [Inches.parse(197)], YARDAGE) == BackingNeed(2, 2, Inches.parse(0))
    assert judge_backing_need(way, [], step, shrunk, whole) == ()
    assert judge_backing_need(way, [Inches.parse(100)], step, shrunk, one) == ()
    for told in (whole, replace(one, buy=Inches.parse(99)), replace(one, panels=3),
                 replace(one, buy=Inches.parse(108))):  # fmt: skip
        assert judge_backing_need(way, [Inches.parse(100)], step, shrunk, told)

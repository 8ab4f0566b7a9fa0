"""Her aim in cutting: the worked scenario number by number, allowances, wider cloth, sheets."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from placement.checks.cutting import judge_cutting
from placement.checks.simplicity import judge_simplicity
from placement.cloth.aims import cut_for
from placement.cloth.cut_terms import ALLOWANCES, QUARTER_YARD, CutTerms
from placement.cloth.cutting import Aim, Cloth, CuttingPlan, Piece, PieceKind, Then, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.handwork import Handwork
from placement.cloth.instructions import Instruction, instructions
from placement.cloth.yardage import to_buy
from placement.inches import Inches

if TYPE_CHECKING:
    from fractions import Fraction

USES = {
    "strip": Use(PieceKind.SET_STRIP),
    "side": Use(PieceKind.SIDE),
    "corner": Use(PieceKind.CORNER),
    "square": Use(PieceKind.PATCH),
    "small square": Use(PieceKind.SMALL_GOOSE),
    "rectangle": Use(PieceKind.HALF_RECTANGLE),
    "plain block": Use(PieceKind.PLAIN_BLOCK),
    "sash": Use(PieceKind.SASH),
}
"""Pieces by the names of these tests."""
BOLT = Cloth("", form_of(FormKind.YARDAGE))
EIGHTH = Cloth("", form_of(FormKind.FAT_EIGHTH))


def _size(text: str | int | Fraction) -> Inches:
    return Inches.parse(str(text))


def _piece(name: str, width: str, height: str, count: int, **terms: object) -> Piece:
    return Piece(USES[name], "", _size(width), _size(height), count, **terms)  # type: ignore[arg-type]


def _sewn(length: str, height: str, count: int) -> Piece:
    return _piece("strip", length, height, count, then=Then.STRIP_SET)


def _lines(plan: CuttingPlan) -> list[str]:
    return [_line(line) for line in instructions(plan.cuts, plan.cloth.form.width)]


def _line(line: Instruction) -> str:
    """Write an instruction: '9 strips 4, halved' or '2 strips 11 1/8: 3 x 11 1/8 = 6'."""
    strips = f"{len(line.strips)} strips {line.height}"
    if line.halved or line.whole:
        return f"{strips}, {'halved' if line.halved else 'whole'}"
    cuts = (f"{sub.each} x {sub.width} = {len(sub.numbers)}" for sub in line.sub_cuts)
    return f"{strips}: {', '.join(cuts)}"


# A scenario worked by hand: the uneven nine patch, 1 3/4 - 3 1/2 - 1 3/4 in finished, 18 fabrics
# of 4 blocks from fat eighths of 8 1/2 x 20 1/2 in, on point 6 x 7, seams of 1/4 in. A fabric's
# sets are 8 slices of 2 1/4 in and 4 of 4 in, each with 1/4 in to square up.
FEATURE = [_sewn("18 1/4", "2 1/4", 2), _sewn("16 1/4", "4", 1)]
BACKGROUND = [
    _sewn("18 1/4", "4", 18), _sewn("16 1/4", "2 1/4", 36),
    _piece("side", "11 1/8", "11 1/8", 6), _piece("corner", "5 7/8", "5 7/8", 2),
]  # fmt: skip


def test_a_fat_eighth_gives_one_strip_of_4_and_two_of_2_1_4_and_nothing_to_spare() -> None:
    plan = cut_for(FEATURE, EIGHTH)
    assert _lines(plan) == ["1 strips 4, whole", "2 strips 2 1/4, whole"]
    assert (plan.used, plan.spare) == (_size("8 1/2"), _size(0))


def test_the_background_is_cut_across_and_halved_at_the_fold_and_corners_from_the_ends() -> None:
    plan = cut_for(BACKGROUND, BOLT)
    assert _lines(plan) == [
        "2 strips 11 1/8: 3 x 11 1/8 = 6, 1 x 5 7/8 = 2",
        "9 strips 4, halved",
        "18 strips 2 1/4, halved",
    ]
    assert plan.used == _size("98 3/4")
    # 20 in each; 18 1/4 and 16 1/4 are needed: the slack is left on.
    halves = {cut.width for cut in plan.cuts if cut.kind == "piece" and cut.height < _size(5)}
    assert halves == {_size(20)}
    # Six at a time: told at the instruction.
    assert [line.layers for line in instructions(plan.cuts, BOLT.form.width)] == [2, 6, 6]


def test_both_aims_are_told_side_by_side() -> None:
    simple = cut_for(BACKGROUND, BOLT)
    least = cut_for(BACKGROUND, BOLT, CutTerms(Aim.LEAST))
    assert (simple.aim, least.aim) == (Aim.SIMPLEST, Aim.LEAST)
    for one, other in ((simple, least), (least, simple)):
        assert one.otherwise is not None
        assert (one.otherwise.used, one.otherwise.buy) == (other.used, other.buy)
        assert one.otherwise.handwork == other.handwork
    assert least.used < simple.used
    assert simple.handwork < least.handwork
    assert judge_cutting(BACKGROUND, least) == ()


# By hand: five strips of 6 in, whose ends of 4 in give six squares of 2 in each, and two strips of
# 3 7/8 in.
SAME_LENGTH = [
    _piece("small square", "2", "2", 28), _piece("square", "3 7/8", "3 7/8", 18),
    _piece("plain block", "6", "6", 28),
]  # fmt: skip


def test_of_plans_of_equal_cloth_the_simplest_is_told_as_the_least() -> None:
    for aim in Aim:
        plan = cut_for(SAME_LENGTH, BOLT, CutTerms(aim))
        assert plan.used == _size("37 3/4")
        assert (plan.handwork.instructions, plan.handwork.settings) == (2, 3)
        assert plan.otherwise is not None
        assert (plan.otherwise.used, plan.otherwise.handwork) == (plan.used, plan.handwork)
        assert judge_cutting(SAME_LENGTH, plan) == ()
        assert judge_simplicity(SAME_LENGTH, plan, QUARTER_YARD) == ()


def test_lower_pieces_add_a_strip_where_nothing_else_is_simpler_than_the_least() -> None:
    # By hand: three strips of 11 in give two squares of 11 in, a column of three rectangles and
    # six columns of five squares each; two strips would do for the squares of 11 in alone.
    pieces = [
        _piece("rectangle", "6 1/2", "3 1/2", 8), _piece("small square", "1 7/8", "1 7/8", 42),
        _piece("plain block", "11", "11", 5),
    ]  # fmt: skip
    plan = cut_for(pieces, BOLT)
    assert (plan.handwork.instructions, plan.used) == (1, _size(33))
    assert judge_cutting(pieces, plan) == ()
    assert judge_simplicity(pieces, plan, QUARTER_YARD) == ()


LIST = [
    _piece("square", "4 1/2", "4 1/2", 23), _piece("rectangle", "6 7/8", "3", 17),
    _piece("plain block", "12 1/2", "12 1/2", 5), _piece("small square", "2 7/8", "2 7/8", 41),
]  # fmt: skip


@pytest.mark.parametrize("allowance", ALLOWANCES)
def test_a_simple_plan_takes_no_more_than_the_allowance(allowance: Inches) -> None:
    plan = cut_for(LIST, BOLT, CutTerms(allowance=allowance))
    assert judge_cutting(LIST, plan) == ()
    least = plan.otherwise
    assert least is not None
    assert least.buy is not None
    assert plan.buy == to_buy(plan.used)
    assert plan.buy.value <= least.buy.value + allowance.value
    assert plan.handwork <= least.handwork


def test_the_allowance_counts_in_whole_steps_of_the_shop() -> None:
    # 9 in are 228.6 mm; metric cloth is sold by 100 mm, so that two steps are allowed.
    metric = Cloth("", form_of(FormKind.YARDAGE, "metric"))
    plan = cut_for(LIST, metric)
    least = plan.otherwise
    assert least is not None
    assert plan.buy is not None
    assert least.buy is not None
    assert plan.buy.value <= least.buy.value + QUARTER_YARD.value


def test_more_allowance_never_makes_a_plan_less_simple() -> None:
    work = [cut_for(LIST, BOLT, CutTerms(allowance=each)).handwork for each in ALLOWANCES]
    assert work == sorted(work, reverse=True)
    assert work[0] > work[-1]


def test_half_an_inch_more_of_usable_width_is_told_where_half_strips_would_do() -> None:
    # By hand: strips of 20 1/4 in come one from 40 in and two from 40 1/2.
    plan = cut_for([_sewn("20 1/4", "2 1/2", 12)], BOLT)
    assert (_lines(plan), plan.used) == (["12 strips 2 1/2, whole"], _size(30))
    assert plan.wider is not None
    assert (plan.wider.width, plan.wider.used) == (_size("40 1/2"), _size(15))
    assert plan.wider.buy == to_buy(_size(15))


def test_a_width_that_changes_nothing_is_not_told() -> None:
    assert cut_for(BACKGROUND, BOLT).wider is None
    # A fat eighth is 21 in wide as sold: 20 1/2 in and half an inch more is all of it.
    assert cut_for(FEATURE, EIGHTH).wider is None


def test_strips_are_shared_out_over_several_pieces_of_cloth() -> None:
    plan = cut_for([_piece("square", "5", "5", 12)], replace(EIGHTH, count=3))
    assert plan.verdict == "fits"
    assert {cut.sheet for cut in plan.cuts} == {0, 1, 2}


def test_what_does_not_fit_is_told_as_for_the_least_cloth() -> None:
    plan = cut_for([_piece("square", "5", "5", 9)], EIGHTH)
    assert (plan.verdict, plan.missing[0][1], plan.aim) == ("short", 5, Aim.SIMPLEST)


def test_nothing_to_cut_asks_for_nothing() -> None:
    plan = cut_for([], BOLT)
    assert (plan.aim, plan.handwork, plan.otherwise) == (Aim.SIMPLEST, Handwork.NONE, None)


def test_a_directional_print_is_not_turned_for_simplicity() -> None:
    plan = cut_for([_piece("sash", "3", "9", 20, turn=False)], BOLT)
    assert judge_cutting([_piece("sash", "3", "9", 20, turn=False)], plan) == ()
    assert {cut.height for cut in plan.cuts} == {_size(9)}


def test_no_layers_are_refused() -> None:
    with pytest.raises(ValueError, match="0 layers are none"):
        CutTerms(layers=0)
    with pytest.raises(ValueError, match="0 layers are none"):
        instructions((), _size(40), 0)


def test_the_usual_allowance_is_a_quarter_yard() -> None:
    assert CutTerms().allowance == QUARTER_YARD == _size(9)

"""Other forms of cloth: a worked scenario, whole squares, and the judge with planted faults."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from placement.block import load_block
from placement.checks.alternates import Wanted, judge_alternates, judge_whole
from placement.checks.fault import FaultKind
from placement.cloth.aims import cut_for
from placement.cloth.alternates import Alternate, Blocks, alternate, best_of, ways_of
from placement.cloth.cutting import Cloth, CuttingPlan, Piece, PieceKind, Then, Use
from placement.cloth.forms import SOLD, Along, Form, FormKind, form_of, own_form
from placement.cloth.instructions import instructions
from placement.cloth.pieces import Terms
from placement.cloth.strips import cut
from placement.cloth.whole import may_stay_whole, nothing_cut, taken_whole
from placement.inches import Inches

EIGHTH = form_of(FormKind.FAT_EIGHTH)


@cache
def _solve(pieces: tuple[Piece, ...], cloth: Cloth) -> CuttingPlan:
    return cut_for(pieces, cloth)


def _size(text: object) -> Inches:
    return Inches.parse(str(text))


# A scenario worked by hand: the uneven nine patch, 1 3/4 - 3 1/2 - 1 3/4 in finished, 18 fabrics
# of 4 blocks each, strips of 2 1/4, 4 and 2 1/4 in, seams of 1/4 in, from fat eighths.
SCENARIO = Blocks(
    load_block("uneven-nine-patch"), _size(7), (4,) * 18, Terms(), form_of(FormKind.YARDAGE).width
)
ASKED = Wanted(
    SCENARIO.block, SCENARIO.side, SCENARIO.shares, SCENARIO.terms.seam, SCENARIO.terms.squaring,
    SCENARIO.terms.step, SCENARIO.ground,
)  # fmt: skip


def _told(kind: FormKind, along: Along = Along.LONG) -> Alternate:
    return alternate(SCENARIO, form_of(kind), along, EIGHTH, _solve)


def _strips(plan: CuttingPlan) -> list[tuple[str, int]]:
    lines = instructions(plan.cuts, plan.cloth.form.width)
    return sorted((str(line.height), len(line.strips)) for line in lines)


def test_a_fat_quarter_makes_eight_blocks_from_two_of_each_strip() -> None:
    told = _told(FormKind.FAT_QUARTER)
    assert told.each is not None
    assert told.each.blocks == 8
    assert (told.each.plan.used, told.form.height) == (_size(17), _size("17 1/2"))
    assert _strips(told.each.plan) == [("2 1/4", 4), ("4", 2)]
    # By whole shares of four; the nine slices of 2 1/4 in that 20 1/2 in give allow one more.
    assert told.most == 9
    # A fabric's four blocks are cut as from a fat eighth, which is as wide.
    assert told.same


def test_nine_quarter_yards_serve_nine_fabrics_with_eight_blocks_each() -> None:
    told = _told(FormKind.QUARTER_YARD)
    assert told.each is not None
    assert (told.most, told.each.blocks, told.fewest, told.pieces) == (8, 8, 9, 18)
    slices = {str(s.sub_cut): (s.slices, s.sets) for s in told.each.strip_sets}
    assert slices == {"2 1/4": (16, (16,)), "4": (8, (8,))}
    assert told.form.width == _size(40)


def test_a_tall_fat_eighth_makes_three_blocks_the_usual_way_and_four_the_other() -> None:
    usual, other = (_told(FormKind.TALL_FAT_EIGHTH, along) for along in Along)
    assert usual.each is not None
    assert other.each is not None
    assert (usual.most, other.most) == (3, 4)
    assert usual.form.width == _size("17 1/2")
    assert other.form.width == _size("10 1/2")
    assert (usual.pieces, other.pieces) == (36, 18)
    assert _strips(other.each.plan) == [("2 1/4", 4), ("4", 2)]
    assert (other.each.plan.used, other.form.height) == (_size(17), _size("17 1/2"))
    assert best_of((usual, other)) is other
    assert other.same is False


def test_yardage_tells_what_every_fabric_takes() -> None:
    told = _told(FormKind.YARDAGE)
    assert told.share is not None
    assert (told.each, told.most) == (None, 0)
    # 1 strip of 4 in and 1 of 2 1/4 in, halved: 6 1/4 in, with washing and squaring up 1/4 yd.
    assert told.share.plan.used == _size("6 1/4")
    assert told.share.plan.buy == _size(9)


def test_a_form_too_small_for_a_patch_gives_nothing() -> None:
    told = _told(FormKind.STRIP)
    assert (told.most, told.each, told.pieces) == (0, None, None)


def test_cloth_of_ones_own_measure_is_told_like_the_others() -> None:
    # The sides of a fat eighth: 8 1/2 x 20 1/2 in.
    mine = own_form(_size("20 1/2"), _size("8 1/2"))
    told = alternate(SCENARIO, mine, Along.LONG, EIGHTH, _solve)
    assert (told.most, told.pieces, told.same) == (4, 18, True)


def test_strips_run_one_way_in_squares_yardage_and_directional_prints() -> None:
    assert ways_of(form_of(FormKind.FAT_QUARTER), directional=False) == tuple(Along)
    assert ways_of(form_of(FormKind.FAT_QUARTER), directional=True) == (Along.LONG,)
    for kind in (FormKind.YARDAGE, FormKind.TEN_INCH_SQUARE, FormKind.STRIP):
        assert ways_of(form_of(kind), directional=False) == (Along.LONG,)


def _all() -> tuple[list[Form], list[Alternate], CuttingPlan]:
    forms = [form_of(kind) for kind in SOLD]
    told = [alternate(SCENARIO, form, Along.LONG, EIGHTH, _solve) for form in forms]
    usual = next(a for a in told if a.form == EIGHTH)
    assert usual.share is not None
    return forms, told, usual.share.plan


def test_the_judge_finds_no_fault_with_any_form() -> None:
    forms, told, usual = _all()
    assert judge_alternates(ASKED, forms, told, usual) == ()
    tall = _told(FormKind.TALL_FAT_EIGHTH, Along.SHORT)
    assert judge_alternates(ASKED, [form_of(FormKind.TALL_FAT_EIGHTH)], [tall], usual) == ()


def _kinds(told: Alternate, form: Form | None = None) -> set[FaultKind]:
    usual = _told(FormKind.FAT_EIGHTH)
    assert usual.share is not None
    found = judge_alternates(ASKED, [form or told.form], [told], usual.share.plan)
    return {each.kind for each in found}


def test_planted_faults_are_found() -> None:
    good = _told(FormKind.FAT_QUARTER)
    assert good.each is not None
    assert good.share is not None
    nine = replace(good.each, blocks=9)
    assert FaultKind.ALTERNATE_BLOCKS in _kinds(replace(good, each=nine))
    assert FaultKind.ALTERNATE_BLOCKS in _kinds(replace(good, most=13))
    assert FaultKind.ALTERNATE_PIECES in _kinds(replace(good, fewest=8))
    assert FaultKind.ALTERNATE_PIECES in _kinds(replace(good, pieces=17))
    assert FaultKind.ALTERNATE_SAME in _kinds(replace(good, same=False))
    assert FaultKind.ALTERNATE_FORM in _kinds(good, form_of(FormKind.HALF_YARD))
    assert FaultKind.ALTERNATE_FORM in _kinds(replace(good, along=Along.SHORT))
    moved = tuple(replace(c, y=_size(0)) for c in good.share.plan.cuts)
    lying = replace(good.share, plan=replace(good.share.plan, cuts=moved))
    assert FaultKind.ALTERNATE_CUTS in _kinds(replace(good, share=lying))
    fewer = replace(good.share, pieces=good.share.pieces[:-1])
    assert FaultKind.ALTERNATE_BLOCKS in _kinds(replace(good, share=fewer))
    assert judge_alternates(ASKED, [], [good], None)[0].kind is FaultKind.ALTERNATES


def _square(name: str, count: int, then: Then = Then.SEWN) -> Piece:
    return Piece(Use(PieceKind.PATCH), "", _size(name), _size(name), count, then=then)


FIVE, TEN = form_of(FormKind.FIVE_INCH_SQUARE), form_of(FormKind.TEN_INCH_SQUARE)


def test_a_patch_that_is_a_whole_square_is_that_square() -> None:
    whole = cut([_square("5", 9)], Cloth("", FIVE, 9))
    assert whole.verdict.fits
    assert nothing_cut(whole)
    assert judge_whole(whole, taken_whole(whole)) == ()
    assert len(taken_whole(whole)) == 9


def test_small_patches_come_four_from_a_square_and_none_is_whole() -> None:
    plan = cut([_square("2 1/2", 4)], Cloth("", FIVE))
    assert plan.verdict.fits
    assert (taken_whole(plan), nothing_cut(plan)) == (frozenset(), False)
    assert judge_whole(plan, [plan.cuts[-1].number])[0].kind is FaultKind.WHOLE


def test_a_square_forgotten_among_the_whole_ones_is_found() -> None:
    plan = cut([_square("5", 2)], Cloth("", FIVE, 2))
    some = sorted(taken_whole(plan))[:1]
    assert [found.kind for found in judge_whole(plan, some)] == [FaultKind.WHOLE]


@pytest.mark.parametrize(
    ("size", "then", "stays"),
    [
        ("4 7/8", Then.TWO, True),  # F 4: F + 7/8, common practice
        ("4 7/8", Then.SEWN, False),
        ("5", Then.TWO, False),  # whole already
        ("4", Then.CUT_TWICE, False),  # too much would be trimmed away
    ],
)
def test_a_square_for_triangles_may_stay_whole_and_its_units_be_trimmed(
    size: str, then: Then, stays: bool
) -> None:
    assert may_stay_whole(_square(size, 4, then), FIVE, _size("1/2")) is stays


def test_plain_squares_are_counted_in_squares() -> None:
    # 56 blocks of 9 in finished, of one fabric each fourteen: cut 9 1/2 in, one from a square.
    blocks = Blocks(load_block("plain-square"), _size(9), (14,) * 4, Terms(), TEN.width)
    told = alternate(blocks, TEN, Along.LONG, TEN, _solve)
    assert (told.most, told.pieces, told.fewest) == (1, 56, 56)


def test_a_nine_patch_of_whole_squares_takes_five_of_one_fabric_and_four_of_the_other() -> None:
    nine = load_block("nine-patch")
    feature = Blocks(nine, _size("13 1/2"), (1,), Terms(), FIVE.width)
    told = alternate(feature, FIVE, Along.LONG, FIVE, _solve)
    assert told.share is not None
    assert told.share.strip_sets == ()
    assert nothing_cut(told.share.plan)
    assert told.pieces == sum(p.roles == "F" for p in nine.patches) == 5

"""One plan for all fabrics of a form: who serves whom, what is over, and what a judge finds.

Counts are worked by hand from the uneven nine patch of 1 3/4, 3 1/2 and 1 3/4 in finished: four
blocks take 8 slices of 2 1/4 in and 4 of 4 in, three take 6 and 3, each with 1/4 in to square up.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from placement.checks.alike import judge_alike
from placement.cloth.aims import cut_for
from placement.cloth.alike import largest, over
from placement.cloth.cutting import Cloth, CuttingPlan, Piece, PieceKind, Then, Use
from placement.cloth.forms import FormKind, form_of
from placement.inches import Inches


def _sewn(length: str, height: str, count: int) -> Piece:
    sizes = Inches.parse(length), Inches.parse(height)
    return Piece(Use(PieceKind.SET_STRIP), "", *sizes, count, then=Then.STRIP_SET)


def _square(side: str, count: int) -> Piece:
    return Piece(Use(PieceKind.PATCH), "", Inches.parse(side), Inches.parse(side), count)


FOUR = (_sewn("18 1/4", "2 1/4", 2), _sewn("16 1/4", "4", 1), _square("3", 4))
THREE = (_sewn("13 3/4", "2 1/4", 2), _sewn("12 1/4", "4", 1), _square("3", 3))


def test_longer_strips_serve_as_shorter_ones_and_a_square_is_over() -> None:
    assert over(FOUR, THREE) == ((_square("3", 4), 1),)
    assert over(FOUR, FOUR) == ()
    assert over(THREE, FOUR) is None


def test_another_size_serves_nothing() -> None:
    assert over(FOUR, (_square("2 7/8", 1),)) is None
    assert over((_square("3", 4),), (replace(_square("3", 4), turn=False),)) is None


def test_the_largest_serves_all_it_can() -> None:
    other = (_square("2 7/8", 1),)
    leader, served = largest([("a", THREE), ("b", FOUR), ("c", other), ("d", FOUR)])
    assert leader == "b"
    assert served == {"a": ((_square("3", 4), 1),)}


@pytest.fixture(scope="module")
def four() -> CuttingPlan:
    cloth = Cloth("b", form_of(FormKind.FAT_QUARTER))
    return replace(cut_for(FOUR, cloth), fabric="b")


def _three(four: CuttingPlan) -> CuttingPlan:
    return replace(four, fabric="a", like="b", surplus=((_square("3", 4), 1),))


def test_a_sound_pair_is_let_through(four: CuttingPlan) -> None:
    assert judge_alike(THREE, _three(four), FOUR, four) == ()


def test_every_planted_fault_is_found(four: CuttingPlan) -> None:
    sound = _three(four)
    faults = {
        "no surplus": (replace(sound, surplus=()), four),
        "too much": (replace(sound, surplus=((_square("3", 4), 2),)), four),
        "of another size": (replace(sound, surplus=((_square("2", 4), 1),)), four),
        "other cuts": (replace(sound, cuts=sound.cuts[:-1]), four),
        "other cloth": (replace(sound, cloth=replace(sound.cloth, count=2)), four),
        "not cut": (sound, None),
        "itself like another": (sound, replace(four, like="c")),
    }
    for name, (plan, like) in faults.items():
        assert judge_alike(THREE, plan, FOUR, like), name
    # More is needed than the other's cuts give.
    assert judge_alike(FOUR, replace(sound, surplus=()), THREE, four)

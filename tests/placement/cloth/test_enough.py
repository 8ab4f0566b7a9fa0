"""How many pieces of a form suffice: whole squares by hand, and no count told in vain."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from placement.checks.cutting import judge_cutting
from placement.cloth.cutting import Cloth, CuttingPlan, Fit, Piece, PieceKind, Use
from placement.cloth.enough import enough, with_enough
from placement.cloth.forms import FormKind, form_of
from placement.cloth.strips import cut
from placement.inches import Inches


def _square(side: str, count: int, number: int = 0) -> Piece:
    return Piece(Use(PieceKind.PATCH, number), "", Inches.parse(side), Inches.parse(side), count)


def _asked(pieces: list[Piece], kind: FormKind) -> CuttingPlan | None:
    cloth = Cloth("", form_of(kind))
    tried = lambda count: cut(pieces, replace(cloth, count=count), effort=0.3)  # noqa: E731
    return enough(pieces, tried(1), tried)


@pytest.mark.parametrize(("side", "squares", "told"), [("5", 72, 72), ("5", 2, 2), ("2 1/2", 9, 3)])
def test_whole_squares_take_as_many_as_there_are(side: str, squares: int, told: int) -> None:
    # By hand: a five-inch square gives one square of 5 in, or four of 2 1/2 in.
    found = _asked([_square(side, squares)], FormKind.FIVE_INCH_SQUARE)
    assert found is not None
    assert found.cloth.count == told


def test_no_count_helps_a_piece_larger_than_its_form_or_cloth_that_suffices() -> None:
    assert _asked([_square("6", 1)], FormKind.FIVE_INCH_SQUARE) is None
    assert _asked([_square("5", 1)], FormKind.FIVE_INCH_SQUARE) is None
    # Of the bolt a length is missing, not a count; a print that may not be turned is too high.
    bolt = cut([_square("5", 9)], Cloth("", form_of(FormKind.YARDAGE), length=Inches.parse(3)))
    assert bolt.verdict is Fit.SHORT
    assert with_enough([_square("5", 9)], bolt, lambda _count: bolt).enough is None
    high = replace(_square("5", 1), height=Inches.parse(9), turn=False)
    assert _asked([high], FormKind.FAT_EIGHTH) is None


SIDES = st.sampled_from(["2", "2 1/2", "3 1/4", "4 1/2", "5", "6 1/2", "8 1/2"])


@settings(max_examples=25)
@given(st.lists(st.tuples(SIDES, st.integers(1, 30)), min_size=1, max_size=3))
def test_what_suffices_is_cut_soundly_and_one_piece_less_does_not(
    sizes: list[tuple[str, int]],
) -> None:
    pieces = [_square(side, count, at) for at, (side, count) in enumerate(sizes)]
    found = _asked(pieces, FormKind.FAT_EIGHTH)
    if found is None:
        assert cut(pieces, Cloth("", form_of(FormKind.FAT_EIGHTH)), effort=0.3).verdict.fits
        return
    assert found.verdict.fits
    assert judge_cutting(pieces, found) == ()
    fewer = replace(found.cloth, count=found.cloth.count - 1)
    assert not cut(pieces, fewer, effort=0.3).verdict.fits


@pytest.mark.parametrize(("count", "told"), [(9, 3), (3, 3)])
def test_how_many_squares_would_do_is_told_where_they_suffice_too(count: int, told: int) -> None:
    # By hand: four squares of 2 1/2 in from a five-inch square, nine from three.
    pieces = [_square("2 1/2", 9)]
    cloth = Cloth("", form_of(FormKind.FIVE_INCH_SQUARE))
    tried = lambda number: cut(pieces, replace(cloth, count=number), effort=0.3)  # noqa: E731
    assert with_enough(pieces, tried(count), tried).enough == told

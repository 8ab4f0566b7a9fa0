"""Diving: whole strips from a relaxation, held against what they must give."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from placement.cloth.cutting import Piece, PieceKind, Use
from placement.cloth.missing import lacking
from placement.cloth.solver.bound import SCALE, relax, wanted
from placement.cloth.solver.columns import make_job
from placement.cloth.solver.diving import dive
from placement.cloth.solver.greedy import first_plans, total
from placement.cloth.solver.pricing import Pricing
from placement.inches import Inches

SIDES = st.tuples(st.integers(2, 9), st.integers(2, 9), st.integers(1, 12), st.booleans())


@settings(max_examples=60)
@given(st.lists(SIDES, min_size=1, max_size=5, unique_by=lambda side: side[:2]))
def test_strips_give_every_piece_and_are_no_lower_than_the_bound(
    sides: list[tuple[int, int, int, bool]],
) -> None:
    pieces = [
        Piece(Use(PieceKind.PATCH, at), "", Inches(Fraction(w)), Inches(Fraction(h)), count, turn)
        for at, (w, h, count, turn) in enumerate(sides)
    ]
    job = make_job(pieces, Fraction(17), None)
    start = [strip for plan in first_plans(job) for strip in plan]
    relaxed = relax(job, Pricing(job, stacking=False), start)
    strips = dive(job, relaxed, 10_000)
    assert not lacking(job, strips)
    assert total(strips) * SCALE >= relaxed.floor
    # Nothing is cut in vain: without any one strip, a piece is missing.
    assert all(lacking(job, strips[:at] + strips[at + 1 :]) for at in range(len(strips)))
    assert sum(wanted(job)) == sum(piece.count for piece in pieces)


def test_a_dive_that_gets_too_high_is_given_up() -> None:
    pieces = [
        Piece(Use(PieceKind.PATCH), "", Inches(Fraction(9)), Inches(Fraction(5)), 4, turn=False)
    ]
    job = make_job(pieces, Fraction(17), None)
    relaxed = relax(job, Pricing(job, stacking=False), first_plans(job)[0])
    assert total(dive(job, relaxed, 15)) >= 15

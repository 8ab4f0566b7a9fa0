"""What the judges say of a shopping list, held against what the brief says is at hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.checks.around import judge_purchase
from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.shopping import judge_backing_need, judge_need
from placement.cloth.forms import FormKind
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.cut_terms import CutTerms
    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.cloth.shopping import Need

    Laid = Callable[[tuple[Piece, ...], CuttingPlan, CutTerms], tuple[Fault, ...]]

_STEPS = {"inches": Fraction(9, 2), "metric": Fraction(500, 127)}
"""In what steps shops sell yardage: 1/8 yd, or 10 cm."""


def check_shopping(plan: Plan, book: CutBook, laid: Laid) -> Iterator[Fault]:
    """List the faults of a shopping list.

    Parameters
    ----------
    plan : Plan
        The plan, whose brief says what is at hand.
    book : CutBook
        What is cut for it, and the list.
    laid : callable
        Lists the faults of pieces on a cloth, by the terms they are cut by.
    """
    told = book.shopping.cloths
    if len(told) != len(book.cloths):
        yield fault(FaultKind.NEEDS_COUNTED, said=len(told), found=len(book.cloths))
        return
    sewing = plan.brief.sewing
    for cloth, asked, need in zip(book.cloths, book.asked, told, strict=False):
        pieces = tuple(replace(piece, fabric="") for piece in asked)
        yield from judge_need(pieces, cloth, _at_hand(plan, book, cloth), need)
        if need.rest is not None:
            yield from _rest(cloth.fabric, need, need.rest, laid, sewing.cut_terms)
            yield from judge_purchase(need.rest, sewing.shrunk)
    there = _backing_at_hand(plan, book)
    yield from judge_backing_need(
        book.backing[0], there, _STEPS[plan.brief.units], sewing.shrunk, book.shopping.backing
    )


def _rest(
    fabric: str, need: Need, rest: CuttingPlan, laid: Laid, terms: CutTerms
) -> Iterator[Fault]:
    for found in laid(need.pieces, rest, terms):
        yield Fault(found.kind, (("fabric", fabric), *found.facts[1:]))
    if not rest.verdict.fits:
        yield fault(FaultKind.NEED_UNMET, fabric=fabric)


def _at_hand(plan: Plan, book: CutBook, cloth: CuttingPlan) -> tuple[int, Inches | None]:
    """Return what the brief says is at hand: pieces of the form, and a length of yardage."""
    told = [own for own in plan.brief.sewing.cloths if own.fabric == cloth.fabric]
    if not told:
        blocks = plan.brief.sewing.at_hand and not cloth.cloth.form.open_ended
        return (1 if blocks else 0), None
    own = told[book.which(cloth)]
    if own.form is not FormKind.YARDAGE:
        return own.count, None
    return 0, own.length and Inches(sum([own.length.value] * own.count, Fraction(0)))


def _backing_at_hand(plan: Plan, book: CutBook) -> list[Inches]:
    """Return the lengths of the backing's fabric that the top leaves, or that are told of it."""
    fabric = plan.brief.backing_fabric
    cut = [cloth for cloth in book.cloths if cloth.fabric == fabric]
    if cut:
        return [one.spare for one in cut if one.cloth.length and one.verdict.fits]
    own = [entry for entry in plan.brief.sewing.cloths if fabric and entry.fabric == fabric]
    lengths = [(entry.length, entry.count) for entry in own if entry.form == FormKind.YARDAGE]
    return [length for length, count in lengths if length for _ in range(count)]

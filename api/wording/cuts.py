"""The cuts of one fabric in words, and the strip sets that are sewn of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.cut_lines import cut_lines
from api.wording.english import listed, number
from api.wording.names import name_of
from api.wording.pieces import Hand, hand

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.cloth.pieces import StripSet


def same_for_all(
    group: Sequence[CuttingPlan], told: Hand, names: Callable[[list[str]], str]
) -> Iterator[str]:
    """Say that fabrics of which some need fewer pieces are cut alike, and what is over.

    Parameters
    ----------
    group : sequence of CuttingPlan
        Fabrics with the same cuts.
    told : Hand
        How they are written.
    names : callable
        Returns what fabrics are called, from their ids.
    """
    if not any(cloth.like for cloth in group):
        return
    over: dict[str, list[str]] = {}
    for cloth in group:
        if cloth.surplus:
            pieces = listed(told.piece(piece, count) for piece, count in cloth.surplus)
            over.setdefault(pieces, []).append(cloth.fabric)
    if not over:
        yield "The same for all: longer strips serve as shorter ones."
    for pieces, fabrics in over.items():
        yield f"The same for all; {pieces} over from {names(fabrics)}."


def leader(group: Sequence[CuttingPlan]) -> CuttingPlan:
    """Return the fabric of those with the same cuts whose plan it is."""
    return next((cloth for cloth in group if not cloth.like), group[0])


def pieces_of(book: CutBook, cloth: CuttingPlan) -> list[Piece]:
    """Return what is cut from a fabric."""
    return [*book.asked_of(cloth)]


def cut_steps(cloth: CuttingPlan, told: Hand) -> Iterator[tuple[str, str]]:
    """Yield the cuts of one fabric, a line for strips that are cut alike.

    Each comes with the numbers its pieces have in the drawing.
    """
    for line in cut_lines(cloth, told):
        where = f";{line.where}" if line.where else ""
        yield _span(line.numbers), f"{line.words}{where}."


def _span(numbers: Sequence[int]) -> str:
    """Write the numbers of cuts that follow each other: '5 to 8'."""
    if len(numbers) < 2:
        return "".join(str(each) for each in numbers)
    return f"{min(numbers)} to {max(numbers)}"


def strip_sets(plan: Plan, sets: tuple[StripSet, ...]) -> Iterator[str]:
    """Yield a line for each kind of strip set; fabrics whose sets are alike share one."""
    alike: dict[tuple[str, str], list[str]] = {}
    for entry in sets:
        features = sorted({fabric for fabric, _ in entry.strips} - {plan.background})
        stand_in = dict.fromkeys(features, "fabric") if len(features) == 1 else {}
        key = _sewn(plan, entry, stand_in), _sewn(plan, entry, {})
        alike.setdefault((key[0], "") if stand_in else key, []).append(key[1])
    for (general, _), each in alike.items():
        several = len(each) > 1
        yield f"For each of {len(each)} fabrics: {general}" if several else each[0]


def _sewn(plan: Plan, entry: StripSet, stand_in: dict[str, str]) -> str:
    cut = hand(plan).lengths.cut
    strips = " + ".join(
        f"{stand_in.get(fabric) or name_of(plan, fabric)} {cut(width)}"
        for fabric, width in entry.strips
    )
    slices = number(entry.slices, "slice")
    return (
        f"sew {number(len(entry.sets), 'set')} of {strips}; cut {slices} of {cut(entry.sub_cut)}."
    )

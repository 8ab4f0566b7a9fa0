"""The cuts of one fabric in words, and the strip sets that are sewn of them."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from api.wording.english import listed, number
from api.wording.names import name_of
from api.wording.pieces import Hand, form_name, hand
from placement.cloth.cutting import Cut, CutKind, CuttingPlan, Use
from placement.cloth.whole import taken_whole

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from api.pattern.plan import Plan
    from placement.cloth.pieces import StripSet
    from placement.inches import Inches


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


def cut_steps(cloth: CuttingPlan, told: Hand) -> Iterator[tuple[str, str]]:
    """Yield the cuts of one fabric, a line for strips that are cut alike.

    Each comes with the numbers its pieces have in the drawing.
    """
    whole = taken_whole(cloth)
    for same, cuts in same_strips(cloth):
        numbers = [cut.number for inside in cuts for cut in inside]
        if whole.issuperset(numbers):
            name, contents = form_name(cloth.cloth.form.kind, len(same)), _of_all(cuts, told)
            yield _span(numbers), f"Use {len(same)} {name} as they come, uncut: {contents}."
            continue
        contents = ", ".join(_contents(cuts[0], told))
        strips, high = number(len(same), "strip"), told.lengths.cut(same[0].height)
        yield (
            _span(numbers),
            f"Cut {strips} {high} high{_how(cloth, len(same), cuts[0])} {contents}.",
        )


def _of_all(cuts: Iterable[Iterable[Cut]], told: Hand) -> str:
    """Say what strips that are cut alike give in all."""
    return ", ".join(_contents((cut for inside in cuts for cut in inside), told))


def _how(cloth: CuttingPlan, strips: int, inside: list[Cut]) -> str:
    """Say how strips are sub-cut: not at all, in halves at the fold, or piece by piece."""
    each = "from it" if strips == 1 else "from each"
    halves = {cut.width.value * 2 for cut in inside} == {cloth.cloth.form.width.value}
    if halves and len(inside) == 2:
        which = "it" if strips == 1 else "all"
        return f", halve {which} at the fold; {each}"
    return f"; {each}"


def same_strips(cloth: CuttingPlan) -> Iterator[tuple[list[Cut], list[list[Cut]]]]:
    """Yield the strips of a plan that are cut alike, and the pieces in each of them."""
    owner = owners(cloth.cuts)
    inside: dict[int, list[Cut]] = {}
    for entry in cloth.cuts:
        if entry.kind is CutKind.PIECE:
            inside.setdefault(owner[entry.number], []).append(entry)

    def alike(strip: Cut) -> object:
        return strip.height, contents(inside[strip.number])

    strips = (e for e in cloth.cuts if e.kind is CutKind.STRIP and e.number in inside)
    for _, group in groupby(strips, alike):
        same = list(group)
        yield same, [inside[strip.number] for strip in same]


def owners(cuts: Iterable[Cut]) -> dict[int, int]:
    """Return the number of the strip that each cut lies in; a strip lies in itself."""
    order = (CutKind.STRIP, CutKind.STACK, CutKind.PIECE)
    found: dict[int, int] = {}
    for cut in sorted(cuts, key=lambda cut: order.index(cut.kind)):
        found[cut.number] = cut.number if cut.kind is CutKind.STRIP else found[cut.inside]
    return found


def contents(cuts: Iterable[Cut]) -> tuple[tuple[Use, Inches, Inches, int], ...]:
    """Return what pieces of a strip are for, their size as asked for, and how many there are."""
    tally: dict[tuple[Use, Inches, Inches], int] = {}
    for cut in cuts:
        if cut.use is not None:
            key = (cut.use, *cut.size)
            tally[key] = tally.get(key, 0) + 1
    return tuple((*piece, count) for piece, count in tally.items())


def _contents(cuts: Iterable[Cut], told: Hand) -> Iterator[str]:
    for use, width, height, count in contents(cuts):
        yield told.counted(use, width, height, count)


def _span(numbers: list[int]) -> str:
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

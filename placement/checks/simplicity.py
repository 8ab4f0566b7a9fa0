"""The judge of simple plans: what they claim to spare the cutter, and what they claim to cost.

It counts instructions, ruler settings and cuts again from the places of the cuts
alone, by the words of ``placement.cloth.handwork.Handwork``.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.checks.fault import Fact, Fault, FaultKind, fault
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from placement.cloth.cutting import Cut, CuttingPlan, Otherwise, Piece
    from placement.cloth.instructions import Instruction

Tally = dict[tuple[Fraction, Fraction], int]
"""How many pieces of each width and height."""


def judge_simplicity(
    pieces: Sequence[Piece], plan: CuttingPlan, allowance: Inches, layers: int = 6
) -> tuple[Fault, ...]:
    """List the faults of a plan that is told as the simplest, or beside it.

    Every strip runs across the whole cloth, halves are cut at its fold, pieces of one
    size lie one way and strips of sets along the cloth; strips of a set that have no
    neighbour keep their slack. The handwork is as counted anew; the simplest plan
    asks for no more of it than the least cloth does, takes more cloth wherever it asks
    for less, and costs no more than allowed, unless the least cloth turns strips of
    sets.

    Parameters
    ----------
    pieces : sequence of Piece
        What was asked for.
    plan : CuttingPlan
        How it is cut, with the plan of the other aim beside it.
    allowance : Inches
        How much more yardage the simplest may take.
    layers : int
        How many strips are sub-cut at once.
    """
    faults = [*_handwork(plan, layers)]
    if plan.otherwise is not None:
        turned = plan.aim == "simplest" or any(
            cut.turned and cut.use is not None and cut.use.kind == "set strip" for cut in plan.cuts
        )
        if not (plan.otherwise.two_grains and turned):
            faults += _compared(plan, plan.otherwise, allowance)
        # Told as the simplest, but cut for the least cloth: nothing simpler was found.
        if plan.aim == "simplest" and plan.otherwise.handwork != plan.handwork:
            faults += [*_grain(pieces, plan), *_slack(plan), *_folds(plan)]
    return tuple(faults)


def judge_instructions(plan: CuttingPlan, lines: Sequence[Instruction]) -> tuple[Fault, ...]:
    """List where instructions do not tell what is cut.

    Parameters
    ----------
    plan : CuttingPlan
        What is cut.
    lines : sequence of Instruction
        What is told.
    """
    faults = []
    strips = {cut.number: cut for cut in plan.cuts if cut.kind == "strip"}
    told = [number for line in lines for number in line.strips]
    if sorted(told) != sorted(strips):
        faults.append(_of(plan, FaultKind.LINE_STRIPS, said=len(told), found=len(strips)))
    for line in lines:
        high = {strips[number].height for number in line.strips if number in strips}
        if high != {line.height}:
            faults.append(_of(plan, FaultKind.LINE_HEIGHT, said=line.height))
        faults += _line(plan, line)
    return tuple(faults)


def _of(plan: CuttingPlan, kind: FaultKind, **facts: Fact) -> Fault:
    return fault(kind, fabric=plan.fabric, **facts)


def _line(plan: CuttingPlan, line: Instruction) -> Iterator[Fault]:
    """List what an instruction tells wrongly of the pieces of its strips."""
    inside = _inside(plan)
    tallies = [_tally(inside[number]) for number in line.strips]
    made: Tally = defaultdict(int)
    most: Tally = defaultdict(int)
    for tally in tallies:
        for size, count in tally.items():
            made[size] += count
            most[size] = max(most[size], count)
    said = {(sub.width.value, sub.height.value): (len(sub.numbers), sub.each)
            for sub in line.sub_cuts}  # fmt: skip
    if said != {size: (made[size], most[size]) for size in made}:
        yield _of(plan, FaultKind.LINE_PIECES, said=sum(n for n, _ in said.values()),
                  found=sum(made.values()))  # fmt: skip
    width, height = plan.cloth.form.width.value, line.height.value
    for told, wide in ((line.whole, width), (line.halved, width / 2)):
        if told != (set(made) == {(wide, height)}):
            yield _of(plan, FaultKind.LINE_FOLD, said=line.height)


def _inside(plan: CuttingPlan) -> dict[int, list[Cut]]:
    """Return the pieces of every strip."""
    by_number = {cut.number: cut for cut in plan.cuts}
    inside: dict[int, list[Cut]] = {c.number: [] for c in plan.cuts if c.kind == "strip"}
    for cut in plan.cuts:
        if cut.kind == "piece":
            parent = by_number[cut.inside]
            inside[parent.inside or parent.number].append(cut)
    return inside


def _tally(pieces: Sequence[Cut]) -> Tally:
    tally: Tally = defaultdict(int)
    for piece in pieces:
        tally[piece.width.value, piece.height.value] += 1
    return tally


def _covers(large: Tally, small: Tally) -> bool:
    return all(large.get(size, 0) >= count for size, count in small.items())


def _handwork(plan: CuttingPlan, layers: int) -> Iterator[Fault]:
    """Count instructions, settings and cuts again."""
    width = plan.cloth.form.width.value
    strips = {cut.number: cut for cut in plan.cuts if cut.kind == "strip"}
    inside = _inside(plan)
    order = sorted(strips, key=lambda number: (-len(inside[number]), number))
    kinds: list[list[int]] = []
    for number in order:
        tally, high = _tally(inside[number]), strips[number].height
        for kind in kinds:
            if strips[kind[0]].height == high and _covers(_tally(inside[kind[0]]), tally):
                kind.append(number)
                break
        else:
            kinds.append([number])
    settings, cuts = 0, len(strips)
    for kind in kinds:
        measures = {strips[kind[0]].height.value}
        for across, down in _tally(inside[kind[0]]):
            measures.add(down)
            if across not in (width, width / 2):
                measures.add(across)
        settings += len(measures)
        for start in range(0, len(kind), layers):
            pile = kind[start : start + layers]
            cuts += max(_sides(strips[number], inside[number], width) for number in pile)
    found = {"instructions": len(kinds), "settings": settings, "cuts": cuts}
    for measure, count in found.items():
        said = getattr(plan.handwork, measure)
        if said != count:
            yield _of(plan, FaultKind.HANDWORK, measure=measure, said=said, found=count)


def _sides(strip: Cut, pieces: Sequence[Cut], width: Fraction) -> int:
    """Count the sides at which a column leaves its strip, or a piece its column."""
    # Pieces of one column begin at one place and are parted by the width of the widest.
    columns: dict[Fraction, Fraction] = {}
    for piece in pieces:
        columns[piece.x.value] = max(columns.get(piece.x.value, Fraction(0)), piece.width.value)
    across = sum(start + wide != width for start, wide in columns.items())
    bottom = strip.y.value + strip.height.value
    return across + sum(piece.y.value + piece.height.value != bottom for piece in pieces)


def _compared(plan: CuttingPlan, other: Otherwise, allowance: Inches) -> Iterator[Fault]:
    """Hold the simplest against the least cloth, whichever of them the plan is."""
    simplest = plan.aim == "simplest"
    simple, least = (plan, other) if simplest else (other, plan)
    for measure in ("instructions", "settings", "cuts"):
        mine, its = getattr(simple.handwork, measure), getattr(least.handwork, measure)
        if mine != its:
            if mine > its:
                yield _of(plan, FaultKind.NO_SIMPLER, measure=measure, said=mine, found=its)
            break
    if simple.used <= least.used and simple.handwork != least.handwork:
        # Of plans of one length the simplest is the least cloth's, too.
        yield _of(plan, FaultKind.LEAST_NO_SIMPLER)
    if simple.buy is None or least.buy is None:
        return
    more = simple.buy.value - least.buy.value
    if more > allowance.value:
        yield _of(plan, FaultKind.ALLOWANCE, said=allowance, found=Inches(more))


def _grain(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    sewn = {piece.use for piece in pieces if piece.then == "strip set"}
    ways: dict[tuple[Fraction, Fraction], set[bool]] = defaultdict(set)
    for cut in plan.cuts:
        if cut.kind == "piece":
            ways[_sides_of(cut)].add(cut.width > cut.height)
            if cut.turned and cut.use in sewn:
                yield _of(plan, FaultKind.SET_TURNED, number=cut.number)
    free = {_sides_of(piece) for piece in pieces if piece.turn}
    if plan.otherwise is not None and plan.otherwise.two_grains:
        return
    for (short, long), found in ways.items():
        if len(found) > 1 and (short, long) in free:
            yield _of(plan, FaultKind.TWO_GRAINS, width=Inches(long), height=Inches(short))


def _sides_of(piece: Cut | Piece) -> tuple[Fraction, Fraction]:
    """Return the shorter and the longer side."""
    width, height = piece.width.value, piece.height.value
    return min(width, height), max(width, height)


def _slack(plan: CuttingPlan) -> Iterator[Fault]:
    """List strips of sets that are trimmed though nothing lies beside any of that length."""
    width = plan.cloth.form.width.value
    beside: set[tuple[Fraction, Fraction]] = set()
    lone: list[Cut] = []
    for pieces in _inside(plan).values():
        if len(pieces) == 1:
            lone += pieces
        else:
            beside |= set(_tally(pieces))
    for cut in lone:
        trimmed = cut.width.value not in (width, width / 2)
        set_strip = cut.use is not None and cut.use.kind == "set strip"
        if set_strip and trimmed and (cut.width.value, cut.height.value) not in beside:
            yield _of(plan, FaultKind.TRIMMED, number=cut.number)


def _folds(plan: CuttingPlan) -> Iterator[Fault]:
    """List halves that are not cut at the fold."""
    half = plan.cloth.form.width.value / 2
    for pieces in _inside(plan).values():
        if all(piece.width.value == half for piece in pieces):
            for piece in pieces:
                if piece.x.value not in (0, half):
                    yield _of(plan, FaultKind.OFF_FOLD, number=piece.number)

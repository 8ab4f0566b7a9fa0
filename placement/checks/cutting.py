"""The judge of cutting plans: what a person with ruler and rotary cutter would trip over.

It knows the value types only and works everything out again from the cuts' places.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from fractions import Fraction
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from placement.checks.fault import Fact, Fault, FaultKind, fault
from placement.cloth.cutting import Fit, Use
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from placement.cloth.cutting import Cut, CuttingPlan, Piece

Size = tuple[Fraction, Fraction]

_FITS = (Fit.FITS, Fit.STACKED)


def judge_cutting(pieces: Sequence[Piece], plan: CuttingPlan) -> tuple[Fault, ...]:
    """List the faults of a cutting plan for these pieces.

    Pieces must lie inside the cloth without overlap; every cut must run from
    edge to edge of what it cuts; counts, directions, order and numbers must hold.

    Parameters
    ----------
    pieces : sequence of Piece
        What was asked for.
    plan : CuttingPlan
        How it is cut.
    """
    faults: list[Fault] = []
    for judge in _JUDGES:
        faults.extend(judge(pieces, plan))
    return tuple(faults)


def _of(plan: CuttingPlan, kind: FaultKind, **facts: Fact) -> Fault:
    return fault(kind, fabric=plan.fabric, **facts)


def _order(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    numbers = [cut.number for cut in plan.cuts]
    if numbers != list(range(1, len(numbers) + 1)):
        yield _of(plan, FaultKind.CUT_NUMBERS)
    kinds = [cut.kind for cut in plan.cuts]
    if kinds != sorted(kinds, key=lambda kind: kind != "strip"):
        yield _of(plan, FaultKind.STRIP_LATE)
    strips = [cut for cut in plan.cuts if cut.kind == "strip"]
    for before, after in pairwise(strips):
        if (after.sheet, after.y) < (before.sheet, before.y):
            yield _of(plan, FaultKind.STRIP_ABOVE, first=after.number, second=before.number)


def _inside_cloth(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    form = plan.cloth.form
    height = form.height if form.height is not None else plan.cloth.length
    for cut in plan.cuts:
        if not 0 <= cut.sheet < plan.cloth.count:
            yield _of(
                plan, FaultKind.SHEET, number=cut.number, sheet=cut.sheet, count=plan.cloth.count
            )
        if _right(cut) > form.width.value:
            yield _of(plan, FaultKind.OFF_SIDE, number=cut.number)
        if height is not None and _bottom(cut) > height.value:
            yield _of(plan, FaultKind.OFF_END, number=cut.number)


def _right(cut: Cut) -> Fraction:
    return cut.x.value + cut.width.value


def _bottom(cut: Cut) -> Fraction:
    return cut.y.value + cut.height.value


def _edge_to_edge(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    by_number = {cut.number: cut for cut in plan.cuts}
    for cut in plan.cuts:
        if (cut.kind == "piece") != bool(cut.use):
            yield _of(plan, FaultKind.PARENT, number=cut.number, inside=cut.inside)
        if cut.kind == "strip":
            if cut.x.value or cut.width != plan.cloth.form.width or cut.inside or cut.turned:
                yield _of(plan, FaultKind.STRIP_ACROSS, number=cut.number)
            continue
        parent = by_number.get(cut.inside)
        if parent is None or parent.number >= cut.number or parent.kind == "piece":
            yield _of(plan, FaultKind.PARENT, number=cut.number, inside=cut.inside)
        else:
            for kind in _within(cut, parent):
                yield _of(plan, kind, number=cut.number, inside=parent.number)


def _within(cut: Cut, parent: Cut) -> Iterator[FaultKind]:
    """List where a sub-cut leaves its parent or does not start at its edge."""
    if cut.sheet != parent.sheet:
        yield FaultKind.OTHER_SHEET
    if cut.x < parent.x or _right(cut) > _right(parent):
        yield FaultKind.PAST_SIDES
    if cut.y < parent.y or _bottom(cut) > _bottom(parent):
        yield FaultKind.PAST_ENDS
    if parent.kind == "strip" and cut.y != parent.y:
        yield FaultKind.NOT_FROM_TOP
    if parent.kind == "stack" and cut.x != parent.x:
        yield FaultKind.NOT_FROM_LEFT
    if cut.kind == "stack" and (parent.kind != "strip" or cut.height != parent.height):
        yield FaultKind.STACK_SPAN


def _apart(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    """List overlaps of pieces, and of siblings along the cut that parts them."""
    for one, two in _overlaps(plan):
        yield _of(plan, FaultKind.OVERLAP, first=one.number, second=two.number)
    stacks = {cut.number for cut in plan.cuts if cut.kind == "stack"}
    families: dict[tuple[int, int], list[Cut]] = {}
    for cut in plan.cuts:
        families.setdefault((cut.inside, cut.sheet), []).append(cut)
    for family in families.values():
        for one, two in combinations(family, 2):
            upright = one.kind == "strip" or one.inside in stacks
            if not (_apart_down(one, two) if upright else _apart_across(one, two)):
                yield _of(plan, FaultKind.NO_CUT_PARTS, first=one.number, second=two.number)


def _overlaps(plan: CuttingPlan) -> Iterator[tuple[Cut, Cut]]:
    """Go down each sheet and hold every piece against those that begin before it ends."""
    found = sorted(
        (cut for cut in plan.cuts if cut.kind == "piece"), key=lambda cut: (cut.sheet, cut.y)
    )
    for at, one in enumerate(found):
        end = _bottom(one)
        for two in found[at + 1 :]:
            if two.sheet != one.sheet or two.y.value >= end:
                break
            if not _apart_across(one, two):
                yield one, two


def _apart_across(one: Cut, two: Cut) -> bool:
    return _right(one) <= two.x.value or _right(two) <= one.x.value


def _apart_down(one: Cut, two: Cut) -> bool:
    return _bottom(one) <= two.y.value or _bottom(two) <= one.y.value


def _counts(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    sewn = {piece.use for piece in pieces if piece.then == "strip set"}
    wanted = Counter[tuple[Use | None, Size]]()
    for piece in pieces:
        wanted[piece.use, _size(piece.width.value, piece.height.value)] += piece.count
    cut = Counter(
        (c.use, _size(c.width.value, c.height.value)) for c in plan.cuts if c.kind == "piece"
    )
    for (use, (short, long)), count in cut.items():
        asked = wanted[use, (short, long)]
        if count > asked and use not in sewn:
            yield _of(
                plan, FaultKind.CUT_TOO_MANY, piece=_told(use), width=Inches(short),
                height=Inches(long), found=count, wanted=asked,
            )  # fmt: skip
    asked_for, got = Counter[Use | None](), Counter[Use | None]()
    for (use, _), count in wanted.items():
        asked_for[use] += count
    for (use, _), count in cut.items():
        got[use] += count
    missing = Counter[Use | None]()
    for piece, count in plan.missing:
        missing[piece.use] += count
    for use in sorted({*asked_for, *missing}, key=_told):
        if got[use] + missing[use] != asked_for[use]:
            yield _of(
                plan, FaultKind.CUT_COUNT, piece=_told(use), wanted=asked_for[use],
                found=got[use], missing=missing[use],
            )  # fmt: skip


def _set_strips(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    """List strips of sets that are too short: longer ones keep their slack."""
    asked: dict[Fraction, list[Fraction]] = defaultdict(list)
    for piece in pieces:
        if piece.then == "strip set":
            asked[piece.height.value] += [piece.width.value] * piece.count
    sewn = {piece.use for piece in pieces if piece.then == "strip set"}
    made: dict[Fraction, list[tuple[Fraction, int]]] = defaultdict(list)
    for cut in plan.cuts:
        if cut.kind == "piece" and cut.use in sewn:
            long, high = (cut.height, cut.width) if cut.turned else (cut.width, cut.height)
            made[high.value].append((long.value, cut.number))
    for side, strips in made.items():
        # The shortest serves the shortest: if any way to serve them works, this one does.
        lengths = sorted(asked[side]) + [plan.cloth.form.width.value + 1] * len(strips)
        for (length, number), least in zip(sorted(strips), lengths, strict=False):
            if length < least:
                yield _of(plan, FaultKind.SET_STRIP_CUT, number=number, width=Inches(length))


def _told(use: Use | None) -> str:
    """Return the id of what a piece is for, with its number if there are several."""
    if use is None:
        return ""
    return f"{use.kind} {use.number}" if use.number else use.kind


def _size(width: Fraction, height: Fraction) -> Size:
    return min(width, height), max(width, height)


def _directions(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    """List pieces that lie as no piece of that use may, or say wrongly how they lie."""
    allowed = {(p.use, p.width, p.height, False) for p in pieces}
    allowed |= {(p.use, p.height, p.width, True) for p in pieces if p.turn}
    # A strip of a set may keep its slack: it is as long as the cloth is wide, or half as long.
    whole = plan.cloth.form.width
    for long in (whole, Inches(whole.value / 2)):
        allowed |= {(p.use, long, p.height, False) for p in pieces
                    if p.then == "strip set" and p.width <= long}  # fmt: skip
    for cut in plan.cuts:
        lies = (cut.use, cut.width, cut.height, cut.turned)
        if cut.kind == "piece" and lies not in allowed:
            yield _of(
                plan, FaultKind.LIES_WRONG, number=cut.number, piece=_told(cut.use),
                width=cut.width, height=cut.height, turned=int(cut.turned),
            )  # fmt: skip


def _numbers(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[Fault]:
    used = sum((c.height.value for c in plan.cuts if c.kind == "strip"), Fraction(0))
    if used != plan.used.value:
        yield _of(plan, FaultKind.USED, said=plan.used, found=Inches(used))
    fits = plan.verdict in _FITS
    if fits and plan.missing:
        yield _of(plan, FaultKind.FITS_MISSING)
    if fits and plan.bound > plan.used:
        yield _of(plan, FaultKind.BOUND, bound=plan.bound, used=plan.used)
    short = plan.verdict in (Fit.SHORT, Fit.TOO_LARGE)
    if short and not (plan.missing and plan.short.value):
        yield _of(plan, FaultKind.SHORT_UNSAID)
    if fits and plan.short.value:
        yield _of(plan, FaultKind.VERDICT, verdict=plan.verdict)
    stacked = any(cut.kind == "stack" for cut in plan.cuts)
    if fits and (plan.verdict is Fit.STACKED) != stacked:
        yield _of(plan, FaultKind.VERDICT, verdict=plan.verdict)
    yield from _leftovers(plan, used)


def _leftovers(plan: CuttingPlan, used: Fraction) -> Iterator[Fault]:
    area = sum(c.width.value * c.height.value for c in plan.cuts if c.kind == "piece")
    cloth = used * plan.cloth.form.width.value
    waste = float(1 - area / cloth) if cloth else 0.0
    if abs(waste - plan.waste) > 1e-9:
        yield _of(plan, FaultKind.WASTE, said=plan.waste, found=waste)
    height = plan.cloth.form.height or plan.cloth.length
    if height is not None and plan.verdict in _FITS:
        spare = height.value * plan.cloth.count - used
    else:
        # What is short, or is still to be bought, has nothing to spare.
        spare = Fraction(0)
    if spare != plan.spare.value:
        found = Inches(max(Fraction(0), spare))
        yield _of(plan, FaultKind.SPARE, said=plan.spare, found=found)


_JUDGES: tuple[Callable[[Sequence[Piece], CuttingPlan], Iterator[Fault]], ...] = (
    _order,
    _inside_cloth,
    _edge_to_edge,
    _apart,
    _counts,
    _set_strips,
    _directions,
    _numbers,
)

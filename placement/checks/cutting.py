"""The judge of cutting plans: what a person with ruler and rotary cutter would trip over.

It knows the value types only and works everything out again from the cuts' places.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from placement.cloth.cutting import Cut, CuttingPlan, Piece

Size = tuple[Fraction, Fraction]


def judge_cutting(pieces: Sequence[Piece], plan: CuttingPlan) -> tuple[str, ...]:
    """List the faults of a cutting plan for these pieces.

    Pieces must lie inside the cloth without overlap; every cut must run from
    edge to edge of what it cuts; counts, directions, order and numbers must hold.

    Parameters
    ----------
    pieces : what was asked for.
    plan : how it is cut.
    """
    faults: list[str] = []
    for judge in _JUDGES:
        faults.extend(judge(pieces, plan))
    return tuple(faults)


def _order(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    numbers = [cut.number for cut in plan.cuts]
    if numbers != list(range(1, len(numbers) + 1)):
        yield "the cuts are not numbered 1, 2, 3 and so on in their order"
    kinds = [cut.kind for cut in plan.cuts]
    if kinds != sorted(kinds, key=lambda kind: kind != "strip"):
        yield "a strip is cut after a sub-cut; strips come first"
    strips = [cut for cut in plan.cuts if cut.kind == "strip"]
    for before, after in pairwise(strips):
        if (after.sheet, after.y) < (before.sheet, before.y):
            yield f"strip {after.number} lies above strip {before.number}, which is cut before it"


def _inside_cloth(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    form = plan.cloth.form
    height = form.height if form.height is not None else plan.cloth.length
    for cut in plan.cuts:
        if not 0 <= cut.sheet < plan.cloth.count:
            yield f"cut {cut.number} is on sheet {cut.sheet}; there are {plan.cloth.count}"
        if _right(cut) > form.width.value:
            yield f"cut {cut.number} passes the right edge of the cloth"
        if height is not None and _bottom(cut) > height.value:
            yield f"cut {cut.number} passes the bottom edge of the cloth"


def _right(cut: Cut) -> Fraction:
    return cut.x.value + cut.width.value


def _bottom(cut: Cut) -> Fraction:
    return cut.y.value + cut.height.value


def _edge_to_edge(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    by_number = {cut.number: cut for cut in plan.cuts}
    for cut in plan.cuts:
        if cut.kind == "strip":
            if cut.x.value or cut.width != plan.cloth.form.width:
                yield f"strip {cut.number} does not run across the whole cloth"
            continue
        parent = by_number.get(cut.inside)
        if parent is None or parent.number >= cut.number or parent.kind == "piece":
            yield f"cut {cut.number} is inside {cut.inside}, which is no strip or stack before it"
        else:
            yield from _within(cut, parent)


def _within(cut: Cut, parent: Cut) -> Iterator[str]:
    """List where a sub-cut leaves its parent or does not start at its edge."""
    name = f"cut {cut.number}"
    if cut.sheet != parent.sheet:
        yield f"{name} is on another sheet than {parent.number}, which it is cut from"
    if cut.x < parent.x or _right(cut) > _right(parent):
        yield f"{name} passes the sides of {parent.number}, which it is cut from"
    if cut.y < parent.y or _bottom(cut) > _bottom(parent):
        yield f"{name} passes the top or bottom of {parent.number}, which it is cut from"
    if parent.kind == "strip" and cut.y != parent.y:
        yield f"{name} does not start at the top edge of strip {parent.number}"
    if parent.kind == "stack" and cut.x != parent.x:
        yield f"{name} does not start at the left edge of stack {parent.number}"
    if cut.kind == "stack" and (parent.kind != "strip" or cut.height != parent.height):
        yield f"stack {cut.number} does not span a strip"


def _apart(_: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    """List overlaps of pieces, and of siblings along the cut that parts them."""
    found = [cut for cut in plan.cuts if cut.kind == "piece"]
    for one, two in combinations(found, 2):
        if one.sheet == two.sheet and _overlap(one, two):
            yield f"pieces {one.number} and {two.number} overlap"
    stacks = {cut.number for cut in plan.cuts if cut.kind == "stack"}
    for one, two in combinations(plan.cuts, 2):
        if (one.inside, one.sheet) == (two.inside, two.sheet):
            upright = one.kind == "strip" or one.inside in stacks
            if not (_apart_down(one, two) if upright else _apart_across(one, two)):
                yield f"no straight cut parts {one.number} from {two.number}"


def _apart_across(one: Cut, two: Cut) -> bool:
    return _right(one) <= two.x.value or _right(two) <= one.x.value


def _apart_down(one: Cut, two: Cut) -> bool:
    return _bottom(one) <= two.y.value or _bottom(two) <= one.y.value


def _overlap(one: Cut, two: Cut) -> bool:
    return not _apart_across(one, two) and not _apart_down(one, two)


def _counts(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    wanted = Counter[tuple[str, Size]]()
    for piece in pieces:
        wanted[piece.name, _size(piece.width.value, piece.height.value)] += piece.count
    cut = Counter(
        (c.piece, _size(c.width.value, c.height.value)) for c in plan.cuts if c.kind == "piece"
    )
    for (name, (short, long)), count in cut.items():
        if count > wanted[name, (short, long)]:
            yield f"{count} {name} of {short} x {long} are cut; {wanted[name, (short, long)]} asked"
    named, got = Counter[str](), Counter[str]()
    for (name, _), count in wanted.items():
        named[name] += count
    for (name, _), count in cut.items():
        got[name] += count
    missing = dict(plan.missing)
    for name, count in named.items():
        if got[name] + missing.get(name, 0) != count:
            yield (
                f"{count} {name} are asked for; {got[name]} are cut and "
                f"{missing.get(name, 0)} reported missing"
            )


def _size(width: Fraction, height: Fraction) -> Size:
    return min(width, height), max(width, height)


def _directions(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    """List pieces that lie as no piece of that name may, or say wrongly how they lie."""
    allowed = {(p.name, p.width, p.height, False) for p in pieces}
    allowed |= {(p.name, p.height, p.width, True) for p in pieces if p.turn}
    for cut in plan.cuts:
        if cut.kind == "piece" and (cut.piece, cut.width, cut.height, cut.turned) not in allowed:
            how = "turned" if cut.turned else "upright"
            size = f"{cut.width} x {cut.height}"
            yield f"piece {cut.number}, a {cut.piece} of {size}, lies {how} wrongly"


def _numbers(pieces: Sequence[Piece], plan: CuttingPlan) -> Iterator[str]:
    used = sum((c.height.value for c in plan.cuts if c.kind == "strip"), Fraction(0))
    if used != plan.used.value:
        yield f"the strips are {used} in high in all; the plan says {plan.used}"
    fits = plan.verdict in ("fits", "fits with stacking")
    if fits and plan.missing:
        yield "the plan says that all fits and that pieces are missing"
    if fits and plan.bound > plan.used:
        yield f"no plan can be below {plan.bound} in; this one takes {plan.used}"
    if plan.verdict == "short" and not (plan.missing and plan.short.value):
        yield "the plan says that cloth is short, but not by how much and for what"
    stacked = any(cut.kind == "stack" for cut in plan.cuts)
    if (plan.verdict == "fits" and stacked) or (
        plan.verdict == "fits with stacking" and not stacked
    ):
        yield f"the verdict is {plan.verdict!r}, which its cuts contradict"
    yield from _leftovers(pieces, plan, used)


def _leftovers(_: Sequence[Piece], plan: CuttingPlan, used: Fraction) -> Iterator[str]:
    area = sum(c.width.value * c.height.value for c in plan.cuts if c.kind == "piece")
    cloth = used * plan.cloth.form.width.value
    waste = float(1 - area / cloth) if cloth else 0.0
    if abs(waste - plan.waste) > 1e-9:
        yield f"{waste:.4f} of the cloth is no piece; the plan says {plan.waste:.4f}"
    height = plan.cloth.form.height or plan.cloth.length
    if height is not None and plan.verdict in ("fits", "fits with stacking"):
        spare = height.value * plan.cloth.count - used
        if spare != plan.spare.value:
            yield f"{spare} in of height are left; the plan says {plan.spare}"


_JUDGES: tuple[Callable[[Sequence[Piece], CuttingPlan], Iterator[str]], ...] = (
    _order,
    _inside_cloth,
    _edge_to_edge,
    _apart,
    _counts,
    _directions,
    _numbers,
)

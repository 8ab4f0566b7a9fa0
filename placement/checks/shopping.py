"""The judge of the shopping list: needed less what is at hand, and every piece has its cloth."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.cloth.shopping import BackingNeed, Need
    from placement.inches import Inches
    from placement.top.setting.finishing import Backing

_ENDS = Fraction(1, 2)
"""Inches lost to squaring both ends of bought cloth up."""

_NEAR = 1e-6

Key = tuple[object, Fraction, Fraction]
"""What a piece is for, its width and its height."""


def judge_need(
    pieces: Sequence[Piece], plan: CuttingPlan, owned: tuple[int, Inches | None], told: Need
) -> tuple[Fault, ...]:
    """List the faults of what is told to be missing of one cloth.

    That the pieces lie on what is bought is judged as all cuts are, of ``told.rest``.

    Parameters
    ----------
    pieces : sequence of Piece
        What is asked of it.
    plan : CuttingPlan
        How they are cut from it.
    owned : (int, Inches or None)
        What is at hand: pieces of its form, and for yardage its usable length.
    told : Need
        What is to be judged.
    """
    faults = [*_owned(plan, owned, told), *_served(pieces, plan, told), *_bought(plan, told)]
    return tuple(faults)


def _owned(plan: CuttingPlan, owned: tuple[int, Inches | None], told: Need) -> Iterator[Fault]:
    count, length = owned
    there = length.value if length is not None else Fraction(0)
    if (told.owned.count, told.owned.length.value) != (count, there):
        yield fault(FaultKind.AT_HAND, fabric=plan.fabric, said=told.owned.count, found=count)
    if told.fabric != plan.fabric:
        yield fault(FaultKind.NEED_FABRIC, fabric=plan.fabric, said=told.fabric)


def _served(pieces: Sequence[Piece], plan: CuttingPlan, told: Need) -> Iterator[Fault]:
    """Judge that every piece is cut from the cloth at hand or from what is bought."""
    asked = _counted((piece, piece.count) for piece in pieces)
    lacking = _counted(told.lacking)
    wanted = asked if _together(told) else _counted(plan.missing) - lacking
    served = _counted((piece, piece.count) for piece in told.pieces)
    idle = told.rest is None and bool(told.pieces)
    if idle or served != wanted or lacking - _counted(plan.missing):
        yield fault(FaultKind.NEED_UNMET, fabric=plan.fabric)
    for piece, _ in told.lacking:
        if piece.turn and min(piece.width, piece.height) <= told.form.width:
            yield fault(FaultKind.NEED_UNMET, fabric=plan.fabric)


def _together(told: Need) -> bool:
    """Whether what is bought and what is at hand are pieces of one form, cut by one plan."""
    return told.rest is not None and not told.rest.cloth.form.open_ended


def _bought(plan: CuttingPlan, told: Need) -> Iterator[Fault]:
    """Judge that no more is bought than is needed and not at hand."""
    last = told.rest or plan
    long = plan.cloth.form.open_ended
    sheets = len({cut.sheet for cut in plan.cuts})
    needed_count = 0 if long else sheets
    needed_length = plan.used.value if long else Fraction(0)
    count, length = max(0, needed_count - told.owned.count), Fraction(0)
    if told.rest is None:
        length = plan.buy.value if plan.buy is not None else length
    elif _together(told):
        needed_count = told.rest.cloth.count
        count = needed_count - told.owned.count
    else:
        needed_length += told.rest.used.value if long else 0
        length = told.rest.buy.value if told.rest.buy is not None else length
        count = 0
    if (told.needed.count, told.needed.length.value) != (needed_count, needed_length):
        yield fault(FaultKind.NEEDED, fabric=plan.fabric, said=told.needed.count,
                    length=told.needed.length)  # fmt: skip
    if (told.buy.count, told.buy.length.value) != (count, length):
        yield fault(FaultKind.TO_BUY, fabric=plan.fabric, said=told.buy.count,
                    length=told.buy.length)  # fmt: skip
    if told.form != last.cloth.form:
        yield fault(FaultKind.NEED_FABRIC, fabric=plan.fabric, said=str(told.form.kind))


def _counted(pieces: Iterable[tuple[Piece, int]]) -> Counter[Key]:
    found = Counter[Key]()
    for piece, count in pieces:
        found[piece.use, piece.width.value, piece.height.value] += count
    return found


def judge_backing_need(
    way: Backing, at_hand: Sequence[Inches], step: Fraction, shrinkage: Fraction, told: BackingNeed
) -> tuple[Fault, ...]:
    """List the faults of what is told to be missing of a backing.

    Parameters
    ----------
    way : Backing
        How it is pieced.
    at_hand : sequence of Inches
        Usable lengths of its fabric that are at hand.
    step : Fraction
        In what steps shops sell it, inches.
    shrinkage : Fraction
        Share of bought yardage lost in the wash.
    told : BackingNeed
        What is to be judged.
    """
    there = sum(floor((float(length) + _NEAR) / way.panel_length) for length in at_hand)
    owned = min(there, way.panels)
    missing = (way.panels - owned) * way.panel_length
    left, less = (float((told.buy.value - one) * (1 - shrinkage) - _ENDS) for one in (0, step))
    # Told to the next eighth of an inch before it is rounded to what shops sell.
    right = left >= missing - _NEAR and less < missing + 0.125 if missing else not told.buy.value
    if (told.panels, told.owned) != (way.panels, owned) or not right or told.buy.value % step:
        return (fault(FaultKind.BACKING_NEED, said=told.owned, found=owned, bought=told.buy),)
    return ()

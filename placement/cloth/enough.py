"""How many pieces of a form of cloth suffice: one rule for every face of the program."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from placement.cloth.cutting import CuttingPlan, Fit, Piece

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_MOST = 200
"""Pieces of a form that are tried; nobody buys more of one print."""

_WANTING = (Fit.SHORT, Fit.UNDECIDED)


def enough(
    pieces: Sequence[Piece], short: CuttingPlan, attempt: Callable[[int], CuttingPlan]
) -> CuttingPlan | None:
    """Return the plan of the least count of a form found to suffice where one falls short.

    Counts are tried from the least whose area holds all pieces. Where many are
    missing several are added at once; the count before the first that suffices
    has then been tried too.

    Parameters
    ----------
    pieces : sequence of Piece
        What is cut.
    short : CuttingPlan
        The plan that falls short.
    attempt : callable
        Returns the plan of cutting the same pieces from that many pieces of its form.

    Returns
    -------
    CuttingPlan or None
        None if nothing falls short, the cloth is cut from the bolt, or a piece is
        larger than the form.
    """
    height = short.cloth.form.height
    if height is None or short.verdict not in _WANTING:
        return None
    count = max(short.cloth.count + 1, _least(pieces, short))
    leapt = False
    while count <= _MOST:
        plan = attempt(count)
        if plan.verdict.fits:
            return _fewer(plan, attempt, short.cloth.count) if leapt else plan
        if plan.verdict is Fit.TOO_LARGE:
            return None
        step = max(1, int(plan.short.value / height.value))
        leapt = step > 1
        count += step
    return None


def _least(pieces: Sequence[Piece], short: CuttingPlan) -> int:
    """Return the count whose area is just enough."""
    form = short.cloth.form
    area = sum((p.width.value * p.height.value * p.count for p in pieces), Fraction(0))
    one = form.width.value * (form.height.value if form.height else Fraction(1))
    return ceil(area / one)


def _fewer(found: CuttingPlan, attempt: Callable[[int], CuttingPlan], least: int) -> CuttingPlan:
    """Return the plan of the least count below that still suffices, one by one."""
    count = found.cloth.count - 1
    while count > least:
        plan = attempt(count)
        if not plan.verdict.fits:
            break
        found, count = plan, count - 1
    return found


def with_enough(
    pieces: Sequence[Piece], plan: CuttingPlan, attempt: Callable[[int], CuttingPlan]
) -> CuttingPlan:
    """Return a plan that says how many pieces of its form suffice: of squares always."""
    if plan.verdict.fits and plan.cloth.form.square and plan.cuts:
        least = _fewer(plan, attempt, _least(pieces, plan) - 1)
        return replace(plan, enough=least.cloth.count)
    found = enough(pieces, plan, attempt)
    return replace(plan, enough=found.cloth.count) if found else plan

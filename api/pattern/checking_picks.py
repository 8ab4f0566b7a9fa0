"""What a judge says of a plan's picks, and how it tells fabrics apart."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

from api.pattern.planner import aim_of
from palette.checks.likeness import measured
from palette.checks.picks import Asked, judge_pick
from placement.checks.fault import Fault, FaultKind

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan
    from palette.fabric import Fabric

_KEPT = 32
"""Verdicts that are kept: a page asks for one plan many times over."""


@lru_cache(maxsize=_KEPT)
def check_picks(plan: Plan) -> tuple[Fault, ...]:
    """List every fault that a judge finds with a plan's picks and with the reasons it gives.

    Parameters
    ----------
    plan : Plan
        A plan; without picks there is nothing to judge.
    """
    brief, choice = plan.brief, plan.choice
    if choice is None:
        return ()
    shown = plan.background and plan.contrasts
    asked = Asked(
        tuple(swatch.fabric for swatch in brief.swatches),
        plan.swatch(plan.background).fabric if shown else None,
        frozenset(swatch.fabric.id for swatch in brief.swatches if swatch.must_use),
        frozenset(swatch.fabric.id for swatch in brief.swatches if swatch.leave_out),
        brief.limits,
        aim_of(plan).mood,
    )
    return tuple(Fault(FaultKind(found.kind), found.facts) for found in judge_pick(asked, choice))


def differences_of(fabrics: tuple[Fabric, ...]) -> Callable[[str, str], float]:
    """Return a function that tells how different two fabrics are, by a judge of its own."""
    apart = _apart(fabrics)
    return lambda one, other: 0.0 if one == other else apart[one, other]


@lru_cache(maxsize=_KEPT)
def _apart(fabrics: tuple[Fabric, ...]) -> dict[tuple[str, str], float]:
    known = {fabric.id: fabric for fabric in fabrics}
    return measured(known, combinations(known, 2))

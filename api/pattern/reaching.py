"""What a plan knows of how different neighbours can be made, kept for the next layout.

It depends on the fabrics and the cells alone, not on the seed or the style.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from placement.top.request import Reach

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from placement.top.request import Quality


def reach_in(quality: Quality) -> Reach:
    """Return what a measure knows about what can be reached, fabrics by their ids."""
    return Reach(quality.reach, quality.bound, quality.proved, quality.cause, ())


def known_reach(plan: Plan) -> Reach | None:
    """Return what a plan knows about what can be reached, fabrics by their numbers."""
    if plan.quality is None:
        return None
    names = plan.choice.kept if plan.choice else ()
    cause = plan.quality.cause
    return replace(reach_in(plan.quality), cause=cause.numbered(names) if cause else None)


def reach_of(known: Plan | None, plan: Plan) -> Reach | None:
    """Return what a plan knows of another with the same fabrics and cells; None of all others."""
    if known is None or _depends_on(known) != _depends_on(plan):
        return None
    return known_reach(known)


def _depends_on(plan: Plan) -> tuple[object, ...]:
    """Return all that the reach of a layout depends on."""
    brief, setting = plan.brief, plan.brief.setting
    kept = plan.choice.kept if plan.choice else ()
    return (
        tuple((name, plan.swatch(name).fabric) for name in kept),
        (setting.kind, setting.across, setting.down, setting.alternate),
        (brief.copies, brief.pins, brief.bans),
    )

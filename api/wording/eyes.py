"""What merges for colour-blind eyes, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.merging import Merging, merging
from api.wording.english import agree, listed, number
from api.wording.names import all_called, called
from palette.eyes import Eyes

if TYPE_CHECKING:
    from api.pattern.plan import Plan

_WHOSE = {
    Eyes.PROTAN: "without the cones for red (protan)",
    Eyes.DEUTAN: "without the cones for green (deutan)",
    Eyes.TRITAN: "without the cones for blue (tritan)",
}
_MOST = 3
"""Pairs that are named; of more the number is told."""


def colour_blind(plan: Plan) -> list[str]:
    """Say what merges for each kind of colour-blind eyes."""
    return [_told(plan, found) for found in merging(plan)]


def seen_by_eyes(plan: Plan) -> dict[Eyes, str]:
    """Say of each kind of colour-blind eyes what merges for them, or that nothing does."""
    found = {each.eyes: _told(plan, each) for each in merging(plan)}
    return {eyes: found.get(eyes, _clear(plan, eyes)) for eyes in Eyes}


def _clear(plan: Plan, eyes: Eyes) -> str:
    beside = "nothing that lies side by side merges" if plan.layout else "no two merge"
    return f"To eyes {_WHOSE[eyes]} {beside} that others tell apart, and nothing sinks."


def _told(plan: Plan, found: Merging) -> str:
    parts = []
    if found.side_by_side:
        pairs = [f"{called(plan, a)} and {called(plan, b)}" for a, b in found.side_by_side[:_MOST]]
        more = len(found.side_by_side) - _MOST
        pairs += [number(more, "more pair")] if more > 0 else []
        parts.append(f"{'; '.join(pairs)} merge side by side")
    if found.sinking:
        sink = agree(len(found.sinking), "sinks", "sink")
        ground = called(plan, plan.background)
        parts.append(f"{all_called(plan, found.sinking)} {sink} into {ground}")
    return f"To eyes {_WHOSE[found.eyes]} {listed(parts)}."

"""How much skill a pattern asks for, from what its maker has to sew."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from placement.units import UnitKind, take_down

if TYPE_CHECKING:
    from api.pattern.plan import Plan

SMALL: Final = 1.5
"""A finished patch with a side below this is fiddly, inches (common practice)."""


class Skill(StrEnum):
    """What a maker should have done before."""

    BEGINNER = "beginner"
    CONFIDENT = "confident beginner"
    INTERMEDIATE = "intermediate"
    ADVANCED = "advanced"


class Demand(StrEnum):
    """What makes a pattern harder than straight seams and squares."""

    HALVES = "halves"
    POINTS = "points"
    ON_POINT = "on point"
    PARTIAL = "partial"
    SMALL = "small"
    MITRED = "mitred"
    BIAS = "bias"


_LEVELS = (Skill.BEGINNER, Skill.CONFIDENT, Skill.INTERMEDIATE, Skill.INTERMEDIATE, Skill.ADVANCED)


def skill(plan: Plan) -> tuple[Skill, tuple[Demand, ...]]:
    """Return the level of a pattern and what it rests on: one step for each demand.

    The steps are common practice: there is no standard of quilting skill.
    """
    found = tuple(_demands(plan))
    # Points ask for triangles, too: together they are two steps.
    steps = len(found) + (Demand.POINTS in found and Demand.HALVES not in found)
    return _LEVELS[min(steps, len(_LEVELS) - 1)], found


def _demands(plan: Plan) -> list[Demand]:
    brief = plan.brief
    block, setting = brief.pattern(), brief.setting
    taken = take_down(block)
    kinds = {unit.kind for unit in taken.units}
    side = float(setting.block_size)
    least = min((min(p.width, p.height) for p in block.patches), default=Fraction(1))
    asked = {
        Demand.HALVES: UnitKind.HALF in kinds,
        Demand.POINTS: bool(kinds - {UnitKind.HALF}),
        Demand.ON_POINT: setting.kind == "on point",
        Demand.PARTIAL: bool(taken.partial),
        Demand.SMALL: float(least) * side < SMALL,
        Demand.MITRED: bool(brief.borders) and brief.sewing.corner == "mitred",
        Demand.BIAS: brief.sewing.grain == "bias",
    }
    return [demand for demand, there in asked.items() if there]

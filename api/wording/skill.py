"""How much skill a pattern asks for, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.skill import Demand, Skill
from api.wording.english import capital, listed

if TYPE_CHECKING:
    from collections.abc import Iterable

_DEMANDS = {
    Demand.HALVES: "half-square triangles",
    Demand.POINTS: "triangles that meet in points",
    Demand.ON_POINT: "blocks on point",
    Demand.PARTIAL: "a partial seam",
    Demand.SMALL: "small patches",
    Demand.MITRED: "mitred borders",
    Demand.BIAS: "bias binding",
}


def skill_words(level: Skill, demands: Iterable[Demand]) -> str:
    """Say the level of a pattern and why.

    >>> skill_words(Skill.CONFIDENT, (Demand.ON_POINT,))
    'Confident beginner: blocks on point'
    >>> skill_words(Skill.BEGINNER, ())
    'Beginner: squares and straight seams'
    """
    why = listed([_DEMANDS[demand] for demand in demands]) or "squares and straight seams"
    return f"{capital(level)}: {why}"

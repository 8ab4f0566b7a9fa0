"""Blocks that touch and look alike."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING

from palette.picking.similarity import differences
from placement.top.setting.layout import EMPTY, Layout

if TYPE_CHECKING:
    from api.pattern.plan import Plan


class Touch(StrEnum):
    """What two blocks share."""

    EDGE = "edge"
    POINT = "point"


@dataclass(frozen=True, slots=True)
class Near:
    """Two blocks that touch."""

    first: int
    """Index of a cell."""
    second: int
    """Index of the other, larger."""
    touch: Touch
    """Whether they share an edge or only a point."""
    difference: float
    """Of what their fabrics read as: CIEDE2000, as in arranging; 0 for one fabric."""


def near(plan: Plan, most: int) -> tuple[Near, ...]:
    """Return the touching blocks that look most alike, nearest first.

    Two blocks of one fabric come first, and an edge before a point.

    Raises
    ------
    ValueError
        If there is no layout.
    """
    layout = plan.layout
    if layout is None:
        raise ValueError("this plan has no layout yet; arrange it first")
    apart = _differences(plan, layout)
    fabrics = layout.fabrics
    met = []
    for a, b, touches in layout.setting.graph().edges.data():
        if EMPTY not in (fabrics[a], fabrics[b]):
            pair = fabrics[a], fabrics[b]
            touch = Touch(touches["touch"])
            met.append((apart[pair], pair[0] != pair[1], touch, min(a, b), max(a, b)))
    return tuple(
        Near(first, second, touch, difference)
        for difference, _, touch, first, second in sorted(met)[:most]
    )


def _differences(plan: Plan, layout: Layout) -> dict[tuple[str, str], float]:
    """Return the difference of every pair of fabrics of a layout, either way round."""
    names = list(layout.counts())
    far = differences([plan.swatch(name).fabric for name in names])
    pairs = combinations_with_replacement(range(len(names)), 2)
    found = {(names[a], names[b]): round(float(far[a, b]), 6) for a, b in pairs}
    return found | {(b, a): value for (a, b), value in found.items()}

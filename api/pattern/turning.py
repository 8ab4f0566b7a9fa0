"""How the blocks of a plan are pressed, and which of them turn: one answer for every face."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from placement.top.setting.layout import EMPTY, Layout
from placement.top.sewing.nesting import every_other
from placement.top.sewing.pressing import Pressing, press

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from palette.colour import Lab


def pressing(plan: Plan, layout: Layout) -> Pressing:
    """Return which way the seams of the blocks are pressed, and by how much blocks turn.

    Blocks that touch no other (one alone, with plain ones or sashing between) need
    neither a turn nor a second pressing.
    """
    brief, setting = plan.brief, layout.setting
    apart = bool(setting.sashing.value) or setting.alternate or setting.block_count == 1
    return press(
        brief.pattern(),
        _lightness(plan, layout),
        directional=plan.directional or not brief.turn,
        alone=apart,
    )


def with_turns(plan: Plan, layout: Layout) -> Layout:
    """Return a layout whose blocks are turned as its pressing asks."""
    turn = pressing(plan, layout).turn
    if not turn:
        return replace(layout, turned=())
    return replace(layout, turned=second_blocks(layout), turn=turn)


def second_blocks(layout: Layout) -> tuple[int, ...]:
    """Return the cells whose block is turned, or pressed by the second plan."""
    holes = frozenset(cell for cell, fabric in enumerate(layout.fabrics) if fabric == EMPTY)
    return every_other(layout.setting, holes)


def _lightness(plan: Plan, layout: Layout) -> dict[str, float]:
    """Return the mean L* of the features, that of the second one and of the background."""
    features = [plan.swatch(name).fabric.reads_as for name in layout.counts()]
    mean = sum(lab.lightness for lab in features) / max(1, len(features))
    second = plan.brief.second_fabric
    other = plan.swatch(second).fabric.reads_as.lightness if second else mean
    found = {"F": mean, "S": other}
    if plan.background:
        ground: Lab = plan.swatch(plan.background).fabric.reads_as
        found["B"] = ground.lightness
    return found

"""How blocks are pressed, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from placement.top.sewing.pressing import Pressing
    from placement.top.sewing.seams import Place

_TOLD = 3
"""Junctions that are told one by one."""


def pressing_words(pressing: Pressing) -> str:
    """Say how the blocks are pressed and turned, and where seams can't nest."""
    if pressing.alone:
        return "Press every block alike."
    if len(pressing.plans) > 1:
        how = "Press every other block by the second plan, all seams the other way"
    else:
        by = "half round" if pressing.turn == 180 else "a quarter round"
        how = f"Press every block alike and turn every other one {by}"
    if not pressing.failing:
        return f"{how}; all seams nest."
    places = "; ".join(_place(place) for place in pressing.failing[:_TOLD])
    return f"{how}; {len(pressing.failing)} kinds of junction can't nest: {places}."


def _place(place: Place) -> str:
    across, down = f"{float(place.across):.3g}", f"{float(place.down):.3g}"
    if not place.edge:
        return f"inside the block, {across} across and {down} down"
    along = across if place.edge in ("top", "bottom") else down
    return f"between blocks, {place.edge} edge, {along} along"

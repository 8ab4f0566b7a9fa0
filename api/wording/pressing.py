"""How blocks are pressed, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import number

if TYPE_CHECKING:
    from placement.top.sewing.pressing import Pressing
    from placement.top.sewing.seams import Place

_TOLD = 3
"""Junctions that are told one by one."""


def pressing_words(pressing: Pressing) -> str:
    """Say how the blocks are pressed and turned, and where seams can't nest."""
    if pressing.alone and not pressing.failing:
        return "Press every block alike."
    if pressing.alone:
        how = "Press every block alike"
    elif len(pressing.plans) > 1 and _opposite(pressing):
        how = "Press every other block by the second plan, all seams the other way"
    elif len(pressing.plans) > 1:
        how = "Press all units alike; join every other block by the second plan"
    elif not pressing.turn:
        how = "Press every block alike"
    else:
        by = "half round" if pressing.turn == 180 else "a quarter round"
        how = f"Press every block alike and turn every other one {by}"
    if not pressing.failing:
        return f"{how}; all seams nest."
    places = "; ".join(_place(place) for place in pressing.failing[:_TOLD])
    more = len(pressing.failing) - _TOLD
    rest = f"; and {more} more" if more > 0 else ""
    joints = number(len(pressing.failing), "joint")
    return f"{how}. At {joints} of a block seams lie to one side, pin them: {places}{rest}."


def _opposite(pressing: Pressing) -> bool:
    first, second = pressing.plans
    return all(one != other for one, other in zip(first, second, strict=True))


def _place(place: Place) -> str:
    across, down = f"{float(place.across):.3g}", f"{float(place.down):.3g}"
    if not place.edge:
        return f"inside the block, {across} across and {down} down"
    along = across if place.edge in ("top", "bottom") else down
    return f"between blocks, {place.edge} edge, {along} along"

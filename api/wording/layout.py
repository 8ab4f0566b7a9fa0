"""Blocks beside each other, and what would be better, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.lookalikes import Near, Touch
from api.pattern.suggestions import Gain, Measure
from api.wording.apart import apart
from api.wording.english import tenths
from api.wording.names import called

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from placement.top.setting.setting import Cell

_HOW = {
    (Touch.EDGE, False): "touch along an edge",
    (Touch.POINT, False): "touch at a point",
    (Touch.EDGE, True): "face each other across the sashing",
    (Touch.POINT, True): "lie corner to corner",
}
"""How two blocks meet, by touch and by whether sashing lies between."""

_BETTER = {
    Measure.SPREAD: "like colours further apart",
    Measure.EVENNESS: "fabrics shared out more evenly",
    Measure.BALANCE: "light and dark better balanced",
    Measure.CONTACTS: "fewer pairs of fabrics that meet again",
}


def place(cell: Cell) -> str:
    """Say where a block lies.

    >>> place(Cell(0, 3))
    'row 1, place 4'
    """
    return f"row {cell.row + 1}, place {cell.column + 1}"


def lookalike(plan: Plan, pair: Near) -> str:
    """Say which two blocks touch and how far apart they are; the plan has a layout."""
    if plan.layout is None:
        raise ValueError("this plan has no layout yet; arrange it first")
    setting, fabrics = plan.layout.setting, plan.layout.fabrics
    one, other = (fabrics[cell] for cell in (pair.first, pair.second))
    cells = setting.cells()
    how = _HOW[pair.touch, bool(setting.sashing.value)]
    where = f"({place(cells[pair.first])}, and {place(cells[pair.second])})"
    if one == other:
        return f"Two blocks of {called(plan, one)} {how} {where}."
    return (
        f"{called(plan, one)} and {called(plan, other)} {how} {where} and differ by "
        f"{apart(pair.difference)}."
    )


def better(gain: Gain) -> str:
    """Say what a swap makes better, the least alike neighbours first."""
    words = [_better(*change) for change in gain.better]
    return "; ".join(words) or "a little better all over"


def _better(measure: Measure, now: float, then: float) -> str:
    if measure == Measure.CLOSEST:
        return f"least difference of neighbours {apart(then)}, now {tenths(now)}"
    if measure == Measure.COPIES:
        return f"copies {tenths(then)} blocks apart, now {tenths(now)}"
    return _BETTER[measure]

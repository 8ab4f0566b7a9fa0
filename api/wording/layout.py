"""Blocks beside each other, and what would be better, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.lookalikes import Near, Touch
from api.pattern.suggestions import Gain, Measure
from api.wording.apart import apart
from api.wording.english import agree, capital, listed, number, tenths
from api.wording.names import all_called, called
from placement.top.request import Cause, CauseKind, Label, Problem, ProblemKind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

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

    >>> from placement.top.setting.setting import Cell
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


def cause(plan: Plan, found: Cause) -> str:
    """Say why neighbours can't differ more."""
    return _CAUSES[found.kind](plan, found)


def _group(plan: Plan, found: Cause) -> str:
    return (
        f"{_fabrics(plan, found.fabrics)} must meet other fabrics somewhere, and from all of those "
        f"they differ by {apart(found.difference)} at most."
    )


def _crowd(plan: Plan, found: Cause) -> str:
    return (
        f"These {number(len(found.fabrics), 'fabric')}, {found.copies} copies, are all within "
        f"{tenths(found.difference)} of one another: {_fabrics(plan, found.fabrics)}; "
        f"{_room(found)}"
    )


def _room(found: Cause) -> str:
    return f"at most {found.room} of {found.cells} cells can lie apart."


def _checkerboard(plan: Plan, found: Cause) -> str:
    larger, smaller = found.sides
    return (
        f"To differ by more than {tenths(found.difference)}, {_fabrics(plan, found.fabrics)} "
        f"({number(found.copies, 'copy', 'copies')}) may touch only the other fabrics "
        f"({number(found.cells - found.copies, 'copy', 'copies')}), in turn like the squares of a "
        f"checkerboard; but its squares are {larger} and {smaller}."
    )


def _choosy(plan: Plan, found: Cause) -> str:
    places = plan.brief.setting.cells()
    said = [
        f"the block in {place(places[cell])} accepts only {_fabrics(plan, few)}"
        for cell, few in found.accepts
    ]
    where = " and ".join(said) if len(said) == 2 else f"{said[0]}, next to it any fabric"
    return f"{capital(where)}; these differ by {apart(found.difference)} at most."


def _search(plan: Plan, found: Cause) -> str:
    pairs = [f"{_fabrics(plan, pair)} ({tenths(found.difference)})" for pair in found.pairs]
    return (
        "A complete search shows that in every layout some neighbours are no further apart than "
        f"{listed(pairs, 'or') or tenths(found.difference)}."
    )


def _fabrics(plan: Plan, fabrics: Iterable[Label]) -> str:
    return all_called(plan, map(str, fabrics))


_CAUSES: dict[CauseKind, Callable[[Plan, Cause], str]] = {
    CauseKind.NOTHING_TOUCHES: lambda _plan, _found: "No two blocks touch.",
    CauseKind.LARGEST: lambda _plan, found: (
        f"No two fabrics differ by more than {apart(found.difference)}."
    ),
    CauseKind.ALONE: lambda plan, found: (
        f"{_fabrics(plan, found.fabrics)} differs from every other fabric by "
        f"{apart(found.difference)} at most."
    ),
    CauseKind.GROUP: _group,
    CauseKind.COPIES: lambda plan, found: (
        f"{_fabrics(plan, found.fabrics)} fills {number(found.copies, 'cell')}; {_room(found)}"
    ),
    CauseKind.CROWD: _crowd,
    CauseKind.CHECKERBOARD: _checkerboard,
    CauseKind.CHOOSY: _choosy,
    CauseKind.SEARCH: _search,
}


def problem(plan: Plan, found: Problem) -> str:
    """Say what leaves no layout, and what to do."""
    fabric = called(plan, str(found.fabric)) if found.fabric is not None else ""
    cells = plan.brief.setting.cells()
    where = f"the block in {place(cells[found.cell])}" if found.cell is not None else ""
    wanted, there = found.wanted, found.there
    said = {
        ProblemKind.ALL_HOLES: (
            f"All {there} blocks are left plain; leave at least one for a fabric."
        ),
        ProblemKind.COPIES_SUM: (
            f"The copies add up to {wanted}, but {number(there, 'block')} "
            f"{agree(there, 'is', 'are')} to be filled; change the copies."
        ),
        ProblemKind.PINNED_OFTEN: (
            f"{fabric} is locked in {number(wanted, 'block')} but has "
            f"{number(there, 'copy', 'copies')}; give it more copies or unlock some."
        ),
        ProblemKind.PIN_BARRED: (
            f"{fabric} is locked in {where} but kept out of it, or has no copies; unlock it or "
            "allow it there."
        ),
        ProblemKind.ALL_BARRED: f"Every fabric is kept out of {where}; allow it at least one.",
        ProblemKind.NO_ROOM: (
            f"{fabric} has {number(wanted, 'copy', 'copies')}, but what is locked or kept out "
            f"leaves it {number(there, 'block')}; allow it more or give it fewer copies."
        ),
        ProblemKind.NOTHING_LEFT: (
            f"What is locked or kept out leaves no fabric for {where}; allow it more."
        ),
        ProblemKind.NOT_PICKED: (
            f"{fabric} is locked in a block but is not among the picks; unlock it or use it."
        ),
    }
    return said[found.kind]

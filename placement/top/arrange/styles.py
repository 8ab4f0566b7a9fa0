"""Arranging rules: each is a cost of a fabric in a cell, and what else counts.

scattered : like colours far apart, nothing else.
families : two colour families in alternate rows.
repeating : one sequence carried on from row to row (see sequence); here only what counts.
light to dark : in order of lightness, from the top down on point and over the
    diagonal in a straight setting. Blocks that should be equally light then
    form rows (on point) or diagonals (straight) that touch at points only: the
    steps of lightness lie on the shared edges, where they show, and equal
    blocks lie side by side only where a fabric fills more than such a row.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from placement.top.arrange.geometry import Ground
from placement.top.arrange.objective import BALANCE, EVENNESS, SPREAD, TOO_ALIKE
from placement.top.arrange.sequence import rows_of
from placement.top.reach.task import Bools, Ints, Task
from placement.top.request import Floats, Style

_OUT_OF_ROW = 4.0
"""Cost of a fabric in a row of the other family, in standard deviations; up to twice."""
_OUT_OF_ORDER = 30.0
"""Cost of a fabric at the wrong end of the light, in standard deviations."""
_FORGIVING = 0.8
"""The most a contact of different fabrics costs in families and from light to dark."""
_MISFIT = 40.0
"""What a part of cells in the wrong row weighs against CIEDE2000 when families are found."""


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """What a style adds to the objective."""

    cost: Floats
    """Cost of each fabric in each cell, shape (n, K)."""
    weights: tuple[float, float, float] = (SPREAD, EVENNESS, BALANCE)
    """Weights of spread, evenness and balance."""
    too_alike: float = TOO_ALIKE
    """The most a contact costs: less where the style itself brings like fabrics together."""
    start: Ints | None = None
    """A layout to start from, shape (n,); pins and forbidden fabrics may be broken."""


Maker = Callable[[Task, Ground, Floats, tuple[int, ...] | None], Rule]


def rule(
    style: Style, task: Task, where: Ground, colours: Floats, families: tuple[int, ...] | None
) -> Rule:
    """Return a style's rule.

    Parameters
    ----------
    colours : Floats
        Lab of the task's fabrics, shape (K, 3).
    families : tuple[int, ...] | None
        0 or 1 for each of the task's fabrics; None finds them.
    """
    return _MAKERS[style](task, where, colours, families)


def _free(task: Task, _where: Ground, _colours: Floats, _families: tuple[int, ...] | None) -> Rule:
    return Rule(np.zeros(task.accepts.shape))


def _in_rows(task: Task, where: Ground, _colours: Floats, families: tuple[int, ...] | None) -> Rule:
    difference = task.values[task.levels]
    even = rows_of(where)[1] % 2 == 0
    if families is None:
        first = find_families(difference, task.copies, int(even.sum()))
    else:
        first = np.array(families) == 0
        if abs(task.copies[~first].sum() - even.sum()) < abs(task.copies[first].sum() - even.sum()):
            first = ~first
    strangeness = _strangeness(difference, task.copies, first)
    wrong = even[:, None] != first[None, :]
    return Rule(wrong * _OUT_OF_ROW * (1 + strangeness), too_alike=_FORGIVING)


def _strangeness(difference: Floats, copies: Ints, first: Bools) -> Floats:
    """Return how much less each fabric is like the other family than like its own, 0 to 1."""
    if first.all() or not first.any():
        return np.zeros(len(first))
    to_first = difference[:, first] @ copies[first] / copies[first].sum()
    to_second = difference[:, ~first] @ copies[~first] / copies[~first].sum()
    gap = np.where(first, to_second - to_first, to_first - to_second)
    return np.asarray((gap - gap.min()) / max(float(np.ptp(gap)), 1e-9))


def find_families(difference: Floats, copies: Ints, room: int) -> Bools:
    """Return which fabrics make up the family for the first rows, as booleans, shape (K,).

    Every pair of fabrics is tried as the hearts of the two families: the others
    are put in order of which heart they are nearer to, and cut where the first
    family fills its rows best. The pair with the least mean difference from
    the hearts wins; cells that then don't fit their row count against it.
    """
    kinds = len(copies)
    best, least = np.arange(kinds) < (kinds + 1) // 2, np.inf
    for heart in range(kinds):
        lean = difference[heart][None, :] - difference
        order = np.argsort(lean, axis=1, kind="stable")
        filled = np.cumsum(copies[order], axis=1)
        cut = np.abs(filled - room)[:, :-1]
        if not cut.size:
            break
        size = cut.argmin(axis=1)
        for other in np.flatnonzero(np.arange(kinds) != heart):
            first = np.zeros(kinds, dtype=np.bool_)
            first[order[other, : size[other] + 1]] = True
            apart = np.where(first, difference[heart], difference[other])
            score = copies @ apart + _MISFIT * cut[other].min()
            if score < least - 1e-9:
                best, least = first, score
    return best


def _by_lightness(
    task: Task, where: Ground, colours: Floats, _families: tuple[int, ...] | None
) -> Rule:
    fall = where.rows if where.step < 1 else where.rows + where.columns
    place = _ranks(fall, np.ones(where.count, dtype=np.int64))
    order = _ranks(-colours[:, 0], task.copies)
    cost = _OUT_OF_ORDER * (place[:, None] - order[None, :]) ** 2
    start = np.empty(where.count, dtype=np.int64)
    lightest = np.argsort(order, kind="stable")
    start[np.argsort(place, kind="stable")] = np.repeat(lightest, task.copies[lightest])
    return Rule(cost, (SPREAD, 0.0, 0.0), _FORGIVING, start)


def _ranks(values: Floats | Ints, counts: Ints) -> Floats:
    """Return where each value stands among all, 0 to 1; equal values share the middle."""
    distinct, inverse = np.unique(values, return_inverse=True)
    held = np.bincount(inverse, weights=counts, minlength=len(distinct))
    middles = (np.cumsum(held) - held / 2) / held.sum()
    return np.asarray(middles[inverse])


_MAKERS: dict[Style, Maker] = {
    Style.SCATTERED: _free,
    Style.FAMILIES: _in_rows,
    Style.REPEATING: _free,
    Style.LIGHT_TO_DARK: _by_lightness,
}

"""How different neighbours can be made while copies of a fabric still lie apart.

All that is reachable takes copies side by side and spreads badly; this is where the
slider of neighbour differences ends instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.objective import CONTACT, make_objective, stricter
from placement.top.arrange.search import tabu
from placement.top.reach.task import level_of

if TYPE_CHECKING:
    from placement.top.arrange.objective import Objective
    from placement.top.arrange.styles import Rule
    from placement.top.arrange.validation import Ask
    from placement.top.reach.task import Ints

STERN = 32.0
"""How much dearer a contact too alike and copies too near get: about 100 standard deviations."""
_STEPS = 200
"""Steps for each difference that is tried."""


def furthest_apart(made: Ask, own: Rule, layout: Ints, least: float) -> tuple[Ints, float]:
    """Return a layout whose neighbours differ most with copies apart, and by how much.

    Differences are tried by bisection, each with a search of its own; no seed of the
    request's has a part in it, so that the same fabrics are told the same.

    Parameters
    ----------
    made : Ask
        With cells that touch, few enough for all pairs.
    layout : Ints
        One that reaches the largest difference; its copies may lie too near.
    least : float
        The least difference to try, CIEDE2000.
    """
    task, rng = made.task, np.random.default_rng(0)
    low = int(np.searchsorted(task.values, least - 1e-9)) - 1
    high = level_of(task, layout) + 1
    best, furthest, end = layout, layout, least
    while high - low > 1:
        level = (low + high) // 2
        wanted = float(task.values[level])
        objective = stricter(
            make_objective(
                task,
                made.where,
                made.colours,
                wanted,
                cost=own.cost,
                weights=own.weights,
                loudness=made.loudness,
            ),
            STERN,
        )
        found = min(
            (tabu(objective, start, rng, steps=_STEPS) for start in (best, furthest)),
            key=objective.energy,
        )
        if broken_pairs(objective, found) == 0:
            low, best = level_of(task, found), found
            end = max(end, float(task.values[low]))
        else:
            high = level
    return best, end


def broken_pairs(objective: Objective, layout: Ints) -> float:
    """Return what contacts too alike and copies too near cost a layout."""
    terms = range(CONTACT, len(objective.similarity))
    here = np.arange(len(layout))
    return float(
        sum(
            (objective.pairs.matrix(k) @ objective.similarity[k][layout])[here, layout].sum()
            for k in terms
        )
    )

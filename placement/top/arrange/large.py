"""Large tops: gone over cell by cell, by sweeps and by mending what they leave.

Fair shares on all lines and distant copies pull against each other here. The start is even
on all lines but for a few cells (sequence.even_layout) whose copies lie too near; sweeps and
mending trade one for the other, with distant copies first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.objective import stricter
from placement.top.arrange.pairs import MOST_DENSE
from placement.top.arrange.search import unwatched
from placement.top.arrange.sweeps import Clashes, Fair, heat_bath, mended
from placement.top.request import Style

if TYPE_CHECKING:
    from placement.top.arrange.objective import Objective
    from placement.top.arrange.promises import Promises
    from placement.top.arrange.search import Tick
    from placement.top.arrange.validation import Ask
    from placement.top.reach.task import Ints

_SWEPT = 200
"""Above so many cells a scattered top is gone over cell by cell."""
_COOLING = (0.01, 0.006, 0.004, 0.003, 0.002, 0.001, 0.0)
"""Temperatures of the sweeps, in standard deviations."""
_COOLING_FAIR = ((2.0, (0.03, 0.0)), (4.0, (0.03, 0.01, 0.0)))
"""The same where counts on lines cost something, twice, with mending after each: first how
many times as dear as usual contacts too alike and copies too near are."""
_UNEVEN = 0.2
"""What a cell too many or too few on a line costs there, in standard deviations."""
_MENDING = 2
"""Swaps for each cell to mend what is left too near or too alike, at most."""
_CROWDING = 0.005
"""What it costs to meet a fabric twice as often as the others."""


def swept(made: Ask) -> bool:
    """Tell whether a top is so large that it is gone over cell by cell."""
    scattered = made.request.style == Style.SCATTERED
    return made.where.count > (_SWEPT if scattered else MOST_DENSE)


def gone_over(
    made: Ask,
    objective: Objective,
    layout: Ints,
    limits: Promises,
    rng: np.random.Generator,
    *,
    effort: int = 1,
    tick: Tick = unwatched,
) -> Ints:
    """Go over a large top cell by cell, and mend what clashes, by turns.

    Parameters
    ----------
    layout : Ints
        Where to start; it must be allowed.
    limits : Promises
        What a scattered layout promises.
    effort : int
        How many times as long as usual to search.
    """
    if made.request.style != Style.SCATTERED:
        cooling = np.repeat(_COOLING, effort)
        return heat_bath(
            objective, layout, rng, temperatures=cooling, crowding=_CROWDING, tick=tick
        )
    clashes = Clashes(made, limits)
    fair = Fair(made.where, made.task.copies, _UNEVEN)
    turns = len(_COOLING_FAIR)
    for turn, (times, temperatures) in enumerate(_COOLING_FAIR):
        layout = heat_bath(
            stricter(objective, times),
            layout,
            rng,
            temperatures=np.repeat(temperatures, effort),
            crowding=_CROWDING,
            fair=fair,
            tick=_part(tick, turn, turns),
        )
        layout = mended(
            objective, layout, clashes, rng, fair=fair, steps=_MENDING * made.where.count
        )
    return layout


def _part(tick: Tick, stage: int, stages: int) -> Tick:
    """Return what to tell in one of several stages."""
    return lambda done: tick((stage + done) / stages)

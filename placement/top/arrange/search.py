"""Make an objective small by exchanging the fabrics of two cells, which keeps every count.

Iterated tabu search over the whole table of swaps; for large tops see sweeps. Work is
counted in steps, never in time, and every random choice is seeded.

References
----------
E. Taillard, Robust taboo search for the quadratic assignment problem, Parallel
Computing 17 (1991), 443-455: the table of gains and the resting times.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.counted import Meetings
from placement.top.arrange.table import Table

if TYPE_CHECKING:
    from placement.top.arrange.objective import Objective
    from placement.top.arrange.table import Counted
    from placement.top.reach.task import Bools, Ints

Tick = Callable[[float], None]
"""Called now and then with the share of the steps done; raising stops the search."""

TICKS = 64
"""Steps between two ticks."""
_STALL = (30, 150)
"""After 2 n steps without a new best, within these, the search starts again near the best."""
_KICK = 0.06
"""Part of the cells moved when it does."""
_REST = (0.03, 0.12)
"""Swapped cells rest between these parts of n steps."""
_LEAST_REST = 3
"""The longest rest is at least so many steps."""
_LEAST_KICK = 3
"""Swaps of a kick on a small top."""


def unwatched(_: float) -> None:
    """Ignore a tick."""


@dataclass(frozen=True, slots=True)
class Variety:
    """How much a contact that repeats a pair of fabrics may cost."""

    price: float = 0.0
    """Cost of each repeated contact above those allowed."""
    allowed: float = 0.0
    """Repeated contacts that cost nothing."""

    def of(self, repeats: float) -> float:
        """Return the cost of so many repeated contacts."""
        return self.price * max(0.0, repeats - self.allowed)

    def total(self, table: Table, meetings: Meetings | None) -> float:
        """Return the energy and what the repeated contacts cost."""
        return table.walk.energy + (self.of(meetings.repeats) if meetings else 0.0)

    def priced(self, meetings: Meetings | None) -> list[tuple[Counted, float]]:
        """Return the repeated contacts with their price, if one more would cost something."""
        dear = meetings is not None and meetings.repeats >= self.allowed
        return [(meetings, self.price)] if meetings is not None and dear else []


def tabu(
    objective: Objective,
    layout: Ints,
    rng: np.random.Generator,
    *,
    steps: int,
    variety: Variety | None = None,
    together: Bools | None = None,
    tick: Tick = unwatched,
) -> Ints:
    """Return the best layout seen in so many steps of iterated tabu search.

    Parameters
    ----------
    objective : Objective
        With all pairs kept.
    layout : Ints
        Where to start; it must be allowed.
    together : Bools | None
        Fabrics not worth a swap (twins), shape (K, K).

    Notes
    -----
    A step costs O(n^2): about 30 microseconds at 72 cells, 45 with a price on repeats.
    """
    variety = variety or Variety()
    barred = np.eye(objective.fabrics, dtype=np.bool_)
    barred = barred if together is None else barred | together
    count = len(layout)
    rests = resting_times(count, steps, rng)
    stall = int(np.clip(2 * count, *_STALL))
    table, meetings = _started(objective, layout, barred, variety)
    kept, lowest, since = layout.copy(), variety.total(table, meetings), 0
    until = np.zeros(count, dtype=np.int64)
    for step in range(steps):
        if step % TICKS == 0:
            tick(step / steps)
        one, other, gain = table.best(until > step, variety.priced(meetings))
        if not np.isfinite(gain):
            if not (until > step).any():
                break
            until[:] = 0
            continue
        table.swap(one, other)
        until[[one, other]] = step + 1 + rests[step]
        total = variety.total(table, meetings)
        if total < lowest:
            kept, lowest, since = table.walk.layout.copy(), total, step
        elif step - since >= stall:
            start = kicked(objective, kept, rng)
            table, meetings = _started(objective, start, barred, variety)
            until[:], since = 0, step
    return kept


def _started(
    objective: Objective, layout: Ints, barred: Bools, variety: Variety
) -> tuple[Table, Meetings | None]:
    """Return the table of swaps of a layout, and its repeats if they cost something."""
    meetings = Meetings(objective, layout) if variety.price > 0 else None
    return Table(objective, layout, barred, [meetings] if meetings else []), meetings


def resting_times(count: int, steps: int, rng: np.random.Generator) -> Ints:
    """Draw how many steps the two cells swapped in each step rest, shape (steps, 2)."""
    least, most = max(1, int(_REST[0] * count)), max(_LEAST_REST, int(_REST[1] * count))
    return rng.integers(least, most + 1, size=(steps, 2))


def kicked(objective: Objective, layout: Ints, rng: np.random.Generator) -> Ints:
    """Return a layout with a few cells swapped at random, where that is allowed."""
    layout = layout.copy()
    swaps = max(_LEAST_KICK, int(_KICK * len(layout) / 2))
    for one, other in rng.integers(0, len(layout), (swaps, 2)):
        swapped = objective.cost[one, layout[other]] + objective.cost[other, layout[one]]
        if np.isfinite(swapped):
            layout[one], layout[other] = layout[other], layout[one]
    return layout

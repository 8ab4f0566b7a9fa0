"""Make a good layout keep what is promised: a search with exact counts and prices that learn.

The objective knows evenness only as sums over pairs of like fabrics and repeated contacts
not at all, so its best layouts keep some promises by chance. From such a layout this goes
on with both counted exactly. Each has a price that rises while its promise is broken and
falls while it is kept, so the search crosses the border of what is promised again and
again (strategic oscillation; Glover, INFORMS Journal on Computing 1, 1989). The best layout
that keeps everything is preferred to any that does not, whatever its energy.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.counted import Evenness, Meetings
from placement.top.arrange.objective import stricter
from placement.top.arrange.pairs import near_pairs
from placement.top.arrange.promises import BALANCE, EVENNESS
from placement.top.arrange.quality import balance
from placement.top.arrange.search import TICKS, kicked, resting_times, unwatched
from placement.top.arrange.table import Table

if TYPE_CHECKING:
    from placement.top.arrange.objective import Objective
    from placement.top.arrange.promises import Promises
    from placement.top.arrange.search import Tick
    from placement.top.arrange.table import Counted
    from placement.top.arrange.validation import Ask
    from placement.top.reach.task import Ints

_EVENNESS = (0.1, 0.02, 2.0)
"""First, least and highest price of a cell too many or too few on a line."""
_MEETING = (0.05, 0.02, 1.0)
"""The same of a repeated contact above those allowed."""
_RISING, _FALLING = 1.3, 0.95
"""What prices are multiplied by after a broken and a kept promise ..."""
_EVERY = 10
"""... every so many steps."""
_BROKEN = (0.3, 0.15)
"""What both weigh when two layouts are compared that break promises."""
_LONGER = 1.7
"""How many times as many swaps are made where promises are still broken after the usual ones."""
_STALL = 60
"""Steps without a better layout after which the search starts again near the best."""


@dataclass(slots=True)
class Price:
    """What breaking a promise costs just now."""

    now: float
    """The price."""
    least: float
    """It never falls below this."""
    most: float
    """It never rises above this."""

    def learn(self, broken: bool) -> None:
        """Rise if the promise is broken, fall if it is kept."""
        self.now = min(self.most, max(self.least, self.now * (_RISING if broken else _FALLING)))


class _Finish:
    """A layout on its way to keeping every promise."""

    def __init__(
        self, made: Ask, objective: Objective, layout: Ints, limits: Promises
    ) -> None:  # fmt: skip
        self.made, self.limits = made, limits
        self.objective = stricter(objective)
        self.barred = np.eye(objective.fabrics, dtype=np.bool_)
        self.near = near_pairs(made.where, limits.copies_apart).T
        self.evenness, self.meeting = Price(*_EVENNESS), Price(*_MEETING)
        self.start(layout)

    def start(self, layout: Ints) -> None:
        """Go on from another layout."""
        self.even = Evenness(self.made.where, self.made.task.copies, layout)
        self.meetings = Meetings(self.objective, layout)
        self.table = Table(self.objective, layout, self.barred, [self.even, self.meetings])

    @property
    def layout(self) -> Ints:
        """The layout now."""
        return self.table.walk.layout

    def uneven(self) -> float:
        """Return how many cells counts on lines are off beyond what is promised."""
        allowed = self.even.forced + EVENNESS * max(self.even.forced, float(self.even.cells))
        return max(0.0, self.even.off - allowed) / self.even.cells

    def repeated(self) -> float:
        """Return the repeated contacts beyond what is promised."""
        return max(0.0, self.meetings.repeats - self.limits.repeats)

    def standing(self) -> tuple[int, float]:
        """Return how much is broken (nothing, counts, what lies side by side) and the cost."""
        uneven, repeated = self.uneven(), self.repeated()
        cost = self.table.walk.energy + _BROKEN[0] * uneven + _BROKEN[1] * repeated
        return (0 if not (uneven or repeated) else 1) if self._sound() else 2, cost

    def _sound(self) -> bool:
        """Tell whether neighbours, copies and balance are as promised."""
        layout, task = self.layout, self.made.task
        if (layout[self.near[0]] == layout[self.near[1]]).any():
            return False
        first, second = task.edges.T
        between = task.values[task.levels[layout[first], layout[second]]]
        return bool((between >= self.limits.least).all()) and (
            balance(self.made, layout) <= BALANCE
        )

    def priced(self) -> list[tuple[Counted, float]]:
        """Return what costs something now, with its price."""
        found: list[tuple[Counted, float]] = []
        if self.uneven():
            found.append((self.even, self.evenness.now / self.even.cells))
        if self.meetings.repeats >= self.limits.repeats:
            found.append((self.meetings, self.meeting.now))
        return found


def finished(
    made: Ask,
    objective: Objective,
    layout: Ints,
    limits: Promises,
    rng: np.random.Generator,
    *,
    steps: int,
    tick: Tick = unwatched,
) -> Ints:
    """Return a layout that keeps every promise, or the one nearest to it that was seen.

    Parameters
    ----------
    objective : Objective
        With all pairs kept.
    layout : Ints
        Where to start; it must be allowed.
    limits : Promises
        What is promised.
    steps : int
        Swaps to make; more where something promised is still broken.
    """
    work = _Finish(made, objective, layout, limits)
    kept, best, since = layout.copy(), work.standing(), 0
    until = np.zeros(len(layout), dtype=np.int64)
    longest = int(_LONGER * steps)
    rests = resting_times(len(layout), longest, rng)
    for step in range(longest):
        if step >= steps and best[0] == 0:
            break
        if step % TICKS == 0:
            tick(step / longest)
        if step % _EVERY == _EVERY - 1:
            work.evenness.learn(work.uneven() > 0)
            work.meeting.learn(work.repeated() > 0)
        one, other, gain = work.table.best(until > step, work.priced())
        if not np.isfinite(gain):
            if not (until > step).any():
                break
            until[:] = 0
            continue
        work.table.swap(one, other)
        until[[one, other]] = step + 1 + rests[step]
        standing = work.standing()
        if standing < best:
            kept, best, since = work.layout.copy(), standing, step
        elif step - since >= _STALL:
            work.start(kicked(work.objective, kept, rng))
            until[:], since = 0, step
    return kept

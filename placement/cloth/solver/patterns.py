"""Every strip that a plan better than the best one known could contain.

With dual worths, a strip costs its height less what its pieces are worth. All
strips of a plan together cost no more than the plan's height less the worth of
all pieces wanted, so a single strip that costs more can be left out. Only strips
with no room for another piece matter: the others lie within them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from placement.cloth.solver.bound import SCALE, contents
from placement.cloth.solver.columns import Column, Job, Strip

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from placement.cloth.solver.pricing import Ints, Pricing


@dataclass(frozen=True, slots=True)
class Found:
    """Strips that cost no more than a limit."""

    strips: tuple[Strip, ...]
    """The strips, the cheapest first."""
    costs: tuple[int, ...]
    """What each costs, units x SCALE."""
    complete: bool
    """Whether these are all; otherwise the search ran out of steps."""


class _SpentError(Exception):
    """The search has used up its steps."""


class Priced:
    """What pieces are worth, and the most that any room is worth with them."""

    def __init__(self, pricing: Pricing, worth: Ints) -> None:
        self.worth = [int(w) for w in worth]
        self.ahead: list[list[int]] = pricing.best(pricing.values(worth))[0].tolist()
        self.stacking = pricing.stacking
        self.stacks: dict[int, list[int]] = {
            width: pricing.stacks(worth, width).tolist()
            for width in (pricing.widths if self.stacking else ())
        }


@dataclass(frozen=True, slots=True)
class _Stack:
    """How columns that start with one lay may go on."""

    lower: list[int]
    """Lays lower than the strip, the widest first."""
    best: list[int] | None
    """What pieces no wider than the first are worth at most in each height; None: no stacks."""


class _Search:
    """Finds the strips of one height after the other."""

    def __init__(self, job: Job, priced: Priced, limit: int, steps: int) -> None:
        self.job = job
        self.priced = priced
        self.worth = priced.worth
        self.limit = limit
        self.steps = steps
        self.stacking = priced.stacking
        self.found: dict[tuple[int, ...], Strip] = {}

    def run(self) -> bool:
        """Search all heights; return whether the steps sufficed."""
        try:
            for row, height in enumerate(self.job.heights):
                self._height(row, height)
        except _SpentError:
            return False
        return True

    def _height(self, row: int, height: int) -> None:
        job = self.job
        self.floor = height * SCALE - self.limit
        self.ahead = self.priced.ahead[row]
        if self.ahead[job.width] < self.floor:
            return
        self.height = height
        firsts: list[Column] = [(at,) for at, lay in enumerate(job.lays) if lay.height == height]
        columns = [c for c in (*firsts, *self._columns(height)) if self._promising(c)]
        self.columns = [(c, job.column_width(c), self._needs(c)) for c in columns]
        left = [kind.count for kind in job.kinds]
        # Without stacking, a strip with no piece of full height belongs to a lower height.
        firsts = firsts if not self.stacking else columns
        self._extend(0, job.width, 0, left, [], sum(map(self._promising, firsts)))

    def _worth(self, column: Column) -> int:
        return sum(self.worth[self.job.lays[lay].kind] for lay in column)

    def _needs(self, column: Column) -> list[tuple[int, int]]:
        kinds = [self.job.lays[lay].kind for lay in column]
        return [(kind, kinds.count(kind)) for kind in set(kinds)]

    def _promising(self, column: Column) -> bool:
        free = self.job.width - self.job.column_width(column)
        return self._worth(column) + self.ahead[free] >= self.floor

    def _columns(self, height: int) -> Iterator[Column]:
        """Yield the lower columns, the widest first: single lays and, with stacking, stacks."""
        lower = [at for at, lay in enumerate(self.job.lays) if lay.height < height]
        lower.sort(key=lambda at: -self.job.lays[at].width)
        left = [kind.count for kind in self.job.kinds]
        for start, first in enumerate(lower):
            # The first piece is the widest and so as wide as the column.
            width = self.job.lays[first].width
            stack = _Stack(lower, self.priced.stacks[width] if self.stacking else None)
            need = self.floor - self.ahead[self.job.width - width]
            yield from self._stacks(stack, (start, start + 1), height, left, (), need)

    def _stacks(
        self,
        stack: _Stack,
        span: tuple[int, int],
        room: int,
        left: list[int],
        column: Column,
        need: int,
    ) -> Iterator[Column]:
        """Yield stacks that no further piece fits and that may be worth ``need`` more."""
        full = True
        for at in range(*span):
            lay = self.job.lays[stack.lower[at]]
            if lay.height > room or not left[lay.kind]:
                continue
            full = False
            more, below = need - self.worth[lay.kind], room - lay.height
            if stack.best is None:
                yield (stack.lower[at],)
            elif stack.best[below] >= more:
                self._step()
                left[lay.kind] -= 1
                going_on = (at, len(stack.lower))
                taken = (*column, stack.lower[at])
                yield from self._stacks(stack, going_on, below, left, taken, more)
                left[lay.kind] += 1
        if column and full:
            yield column

    def _step(self) -> None:
        self.steps -= 1
        if self.steps < 0:
            raise _SpentError

    def _extend(
        self, start: int, free: int, value: int, left: list[int], taken: list[Column], firsts: int
    ) -> None:
        """Add columns from ``start`` on; the first is one of the first ``firsts``."""
        full = True
        for at in range(start, len(self.columns) if taken else firsts):
            column, width, needs = self.columns[at]
            if width > free:
                continue
            # Pieces of a stack beyond those wanted are left uncut and are worth nothing.
            given = [(kind, min(number, left[kind])) for kind, number in needs]
            more = value + sum(self.worth[kind] * number for kind, number in given)
            wanted = any(number for _, number in given)
            if not wanted or more + self.ahead[free - width] < self.floor:
                continue
            self._step()
            full = False
            for kind, number in given:
                left[kind] -= number
            self._extend(at, free - width, more, left, [*taken, column], firsts)
            for kind, number in given:
                left[kind] += number
        if full and value >= self.floor:
            key = tuple(k.count - n for k, n in zip(self.job.kinds, left, strict=True))
            known = self.found.get(key)
            if known is None or known.height > self.height:
                self.found[key] = Strip(self.height, tuple(taken))


def cheap_strips(job: Job, priced: Priced, limit: int, steps: int) -> Found:
    """Return the strips that cost at most ``limit`` (in units / SCALE) and hold no other.

    Parameters
    ----------
    job, priced : Job, Priced
        The job and what its pieces are worth; no strip is worth more than its height.
    limit : int
        The most a strip may cost.
    steps : int
        The most columns and pieces of stacks that are tried.
    """
    search = _Search(job, priced, limit, steps)
    complete = search.run()
    strips = list(search.found.values())
    gives = contents(job, strips)
    costs = [strip.height * SCALE for strip in strips] - np.array(priced.worth) @ gives
    kept = _undominated(strips, gives) if complete else range(len(strips))
    order = sorted(kept, key=lambda at: (costs[at], strips[at].height, at))
    return Found(tuple(strips[at] for at in order), tuple(int(costs[at]) for at in order), complete)


def _undominated(strips: list[Strip], gives: Ints) -> Iterable[int]:
    """Drop strips that give no more than another which is no higher."""
    if len(strips) > 4000:
        return range(len(strips))
    heights = np.array([strip.height for strip in strips])
    return [
        at
        for at in range(len(strips))
        if ((gives >= gives[:, [at]]).all(axis=0) & (heights <= heights[at])).sum() == 1
    ]

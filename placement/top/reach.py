"""How different the least different neighbours can be made, and why not more.

The largest least difference (t* of the layout) is closed in on from both sides:
counting gives a bound with a reason, swapping gives layouts, and a SAT solver
settles the gap where it can. All work is counted in steps, never in time, so
the answer to a request is the same on any machine.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from placement.top.bounds import Bound, counting_bounds
from placement.top.proof import decide, size
from placement.top.request import Floats, Reach
from placement.top.setting import Setting
from placement.top.starts import any_layout, grown_start, two_part_start
from placement.top.tabu import neighbours, untangle
from placement.top.task import Ints, Task, classes_at, deal, level_of, make_task

SWAPS_PER_SECOND = 40_000
"""Swaps a second of one core makes at 72 cells (measured; only sets how long to try)."""
CONFLICTS_PER_SECOND = 20_000
"""Conflicts a second of one core resolves at 72 cells (measured likewise)."""
CLAUSES_PER_SECOND = 1_000_000
"""Clauses a second of one core writes down (measured likewise)."""

_NOTHING: Mapping[int, int] = {}
_NO_BARS: Mapping[int, tuple[int, ...]] = {}


def reach(
    setting: Setting,
    difference: Floats,
    copies: Sequence[int],
    *,
    pinned: Mapping[int, int] = _NOTHING,
    forbidden: Mapping[int, tuple[int, ...]] = _NO_BARS,
    holes: frozenset[int] = frozenset(),
    seed: int = 0,
    seconds: float = 1.0,
) -> Reach:
    """Return the largest least difference between neighbours that can be reached.

    Neighbours share an edge; if no two cells do, they share a point.

    Parameters
    ----------
    setting : the cells and who touches whom.
    difference : shape (K, K), symmetric, 0 on the diagonal; CIEDE2000.
    copies : cells each fabric fills, length K, adding up to the cells that are no holes.
    pinned : cell to the fabric that must stay there.
    forbidden : cell to the fabrics that must not lie there.
    holes : cells left as plain background.
    seed : same request and seed, same answer.
    seconds : about how much work of one core to spend.

    Raises
    ------
    ValueError
        If the arguments don't fit together or leave no layout at all.
    """
    task = make_task(setting, difference, copies, pinned, forbidden, holes)
    rng = np.random.default_rng(seed)
    layout = any_layout(task, rng)
    if not len(task.edges):
        value = float(task.values[-1]) if len(task.values) else 0.0
        return _answer(task, layout, value, value, Bound(0, "No two blocks touch.", ()), setting)
    bound = _lowest(task, counting_bounds(task))
    hunt = _Hunt(task, layout, bound, rng)
    hunt.swap(int(0.5 * seconds * SWAPS_PER_SECOND))
    hunt.prove(seconds)
    best = float(task.values[hunt.level])
    return _answer(
        task, hunt.layout, best, float(task.values[hunt.bound.level]), hunt.bound, setting
    )


def _lowest(task: Task, bounds: list[Bound]) -> Bound:
    """Return the lowest bound; of equals the first, which is the simplest to explain."""
    top = len(task.values) - 1
    trivial = Bound(top, f"No two fabrics differ by more than {task.values[top]:.1f}.", ())
    return min([*bounds, trivial], key=lambda bound: bound.level)


def _answer(
    task: Task, layout: Ints, best: float, bound: float, why: Bound, setting: Setting
) -> Reach:
    whole = np.full(len(setting.cells()), -1, dtype=np.int64)
    whole[task.cells] = task.fabrics[layout]
    proved = best >= bound
    return Reach(best, bound, proved, why.cause, why.fabrics, tuple(whole.tolist()))


class _Hunt:
    """The best layout so far and the bound, closing in on each other."""

    def __init__(self, task: Task, layout: Ints, bound: Bound, rng: np.random.Generator) -> None:
        self.task = task
        self.layout = layout
        self.level = level_of(task, layout)
        self.bound = bound
        self.rng = rng
        self.near = neighbours(len(task.cells), task.edges)

    def _keep(self, layout: Ints) -> None:
        level = level_of(self.task, layout)
        if level > self.level:
            self.layout, self.level = layout, level

    def swap(self, budget: int) -> None:
        """Ask for more and more until the swaps are used up: a ratchet in halving steps."""
        self._keep(two_part_start(self.task, self.rng))
        gap = max(1, (self.bound.level - self.level) // 2)
        tries = 0
        while budget > 0 and self.level < self.bound.level:
            target = min(self.level + gap, self.bound.level)
            classes = classes_at(self.task, target)
            kind = tries % 3
            if kind == 0:
                start = self.layout
            elif kind == 1:
                start = grown_start(self.task, target, self.rng)
            else:
                start = any_layout(self.task, self.rng)
            patience = 500 * (2 + tries // 6)
            outcome = untangle(
                classes, classes.of[start], self.task.edges, self.near, budget, patience, self.rng
            )
            budget -= outcome.swaps + 50
            if outcome.clashes == 0:
                self._keep(deal(self.task, classes, outcome.layout, self.rng))
                tries = 0
            elif gap > 1:
                gap //= 2
            else:
                tries += 1

    def prove(self, seconds: float) -> None:
        """Let the solver decide the next level, as long as it can."""
        while self.level < self.bound.level:
            classes = classes_at(self.task, self.level + 1)
            if size(classes) > 0.3 * seconds * CLAUSES_PER_SECOND:
                return
            found = decide(classes, self.task.edges, int(0.4 * seconds * CONFLICTS_PER_SECOND))
            if found is True:
                return
            if found is False:
                value = self.task.values[self.level]
                cause = f"Searched completely: no layout does better than {value:.1f}."
                self.bound = Bound(self.level, cause, ())
            else:
                self._keep(deal(self.task, classes, found, self.rng))

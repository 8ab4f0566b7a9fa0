"""How different the least different neighbours can be made, and why not more.

The largest least difference (t* of the layout) is closed in on from both sides:
counting gives a bound with a reason, swapping gives layouts, and a SAT solver
settles the gap where it can. All work is counted in steps, never in time, so
the answer to a request is the same on any machine.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from placement.top.reach.bounds import Bound, counting_bounds, numbers
from placement.top.reach.breakout import untangle
from placement.top.reach.initial_layouts import any_layout, grown_start, two_part_start
from placement.top.reach.proof import decide, size
from placement.top.reach.task import Ints, Task, classes_at, deal, level_of, make_task
from placement.top.request import Cause, CauseKind, Floats, Reach

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from placement.top.setting.setting import Setting

SWAPS_PER_SECOND = 32_000
"""Swaps a second of one core makes on few cells (measured; only sets how long to try)."""
CELLS_THAT_SLOW = 1000
"""With so many cells a swap would cost twice as much (measured likewise) ..."""
MOST_CELLS_THAT_SLOW = 700
"""... but above this many fewer swaps are compared."""
CONFLICTS_PER_SECOND = 30_000
"""Conflicts a second of one core resolves in small questions (measured likewise)."""
CLAUSES_PER_SECOND = 500_000
"""Clauses a second of one core writes down and simplifies (measured likewise)."""
CLAUSES_THAT_SLOW = 50_000
"""With so many clauses a conflict costs twice as much (measured likewise)."""
FEW_CLAUSES = 22_000
"""With fewer the solver is asked early (measured: 72 cells and up to six classes)."""
SWAPS_PER_TRY = 20
"""What setting up a try costs, in swaps."""
NOISES = (0.0, 0.3, 0.6)
"""Taken in turn: some questions need the best swap each time, others some chance."""
FIRST_PATIENCE = 150
"""Swaps without progress after which the first tries end ..."""
MORE_PATIENCE = 1.6
"""... this many times as many after a round of tries without success ..."""
LESS_ASKED = 6
"""... and in a round every try asks for so many times less (all three measured)."""
FEWEST_CONFLICTS = 100
"""With less than this left the solver is not asked."""

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
    setting : Setting
        The cells and who touches whom.
    difference : Floats
        Shape (K, K), symmetric, 0 on the diagonal; CIEDE2000.
    copies : Sequence[int]
        Cells each fabric fills, length K, adding up to the cells that are no holes.
    pinned : Mapping[int, int]
        Cell to the fabric that must stay there.
    forbidden : Mapping[int, tuple[int, ...]]
        Cell to the fabrics that must not lie there.
    holes : frozenset[int]
        Cells left as plain background.
    seed : int
        Same request and seed, same answer.
    seconds : float
        About how much work of one core to spend.

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
        return _answer(
            task, layout, value, value, Bound(0, Cause(CauseKind.NOTHING_TOUCHES)), setting
        )
    bound = _lowest(task, counting_bounds(task))
    hunt = _Hunt(task, two_part_start(task, rng), bound, rng)
    hunt.swap(0.1 * seconds)
    if not hunt.small:
        hunt.swap(0.45 * seconds)
    hunt.swap(hunt.prove(0.35 * seconds))
    hunt.swap((0.55 if hunt.small else 0.1) * seconds)
    best = float(task.values[hunt.level])
    return _answer(
        task, hunt.layout, best, float(task.values[hunt.bound.level]), hunt.bound, setting
    )


def _lowest(task: Task, bounds: list[Bound]) -> Bound:
    """Return the lowest bound; of equals the first, which is the simplest to explain."""
    top = len(task.values) - 1
    trivial = Bound(top, Cause(CauseKind.LARGEST, float(task.values[top])))
    return min([*bounds, trivial], key=lambda bound: bound.level)


def _answer(
    task: Task, layout: Ints, best: float, bound: float, why: Bound, setting: Setting
) -> Reach:
    whole = np.full(len(setting.cells()), -1, dtype=np.int64)
    whole[task.cells] = task.fabrics[layout]
    proved = best >= bound
    return Reach(best, bound, proved, why.cause, tuple(whole.tolist()))


class _Hunt:
    """The best layout so far and the bound, closing in on each other."""

    def __init__(self, task: Task, layout: Ints, bound: Bound, rng: np.random.Generator) -> None:
        self.task = task
        self.layout = layout
        self.level = level_of(task, layout)
        self.bound = bound
        self.rng = rng
        self.patience = FIRST_PATIENCE
        self.tries = 0
        self.step = self._half()

    @property
    def open(self) -> bool:
        """Whether the best layout and the bound still differ."""
        return self.level < self.bound.level

    @property
    def small(self) -> bool:
        """Whether the solver is likely to decide the next level."""
        return not self.open or size(classes_at(self.task, self.level + 1)) < FEW_CLAUSES

    def _keep(self, layout: Ints) -> None:
        level = level_of(self.task, layout)
        if level > self.level:
            self.layout, self.level = layout, level

    def swap(self, seconds: float) -> None:
        """Ask for more and more until the work is used up.

        Each round asks for half of what is missing, then for less and less;
        a round without any success is followed by a more patient one.
        """
        slower = 1 + min(len(self.task.cells), MOST_CELLS_THAT_SLOW) / CELLS_THAT_SLOW
        budget = int(seconds * SWAPS_PER_SECOND / slower)
        while budget > 0 and self.open:
            level = min(self.level + self.step, self.bound.level)
            classes = classes_at(self.task, level)
            start = self._start(level)
            noise = NOISES[self.tries % len(NOISES)]
            found, swaps = untangle(
                classes, classes.of[start], self.task.edges, budget, self.patience, noise, self.rng
            )
            self.tries += 1
            budget -= swaps + SWAPS_PER_TRY
            if found is not None:
                self._keep(deal(self.task, classes, found, self.rng))
            elif self.step > 1:
                self.step = max(1, self.step // LESS_ASKED)
            else:
                self.patience, self.step = int(MORE_PATIENCE * self.patience), self._half()

    def _start(self, level: int) -> Ints:
        """Return the best layout so far every other time, else a new one of either kind."""
        if self.tries % 2 == 0:
            return self.layout
        if self.tries % 4 == 1:
            return grown_start(self.task, level, self.rng)
        return any_layout(self.task, self.rng)

    def _half(self) -> int:
        return max(1, (self.bound.level - self.level) // 2)

    def prove(self, seconds: float) -> float:
        """Let the solver decide the next level; where it can't, one nearer to the bound.

        Returns what is left of the seconds.
        """
        level = self.level + 1
        while self.open and level <= self.bound.level:
            classes = classes_at(self.task, level)
            clauses = size(classes)
            writing = clauses / CLAUSES_PER_SECOND
            pace = CONFLICTS_PER_SECOND / (1 + clauses / CLAUSES_THAT_SLOW)
            conflicts = int(0.6 * (seconds - writing) * pace)
            if writing > 0.25 * seconds or conflicts < FEWEST_CONFLICTS:
                break
            found, used = decide(classes, self.task.edges, conflicts)
            seconds -= writing + used / pace
            if found is None:
                level += (self.bound.level - level) // 2 + 1
            elif found is False:
                self.bound = _searched(self.task, level - 1)
                level = self.level + 1
            else:
                self._keep(deal(self.task, classes, found, self.rng))
                level = self.level + 1
        return seconds


def why(task: Task, bound: float) -> Cause:
    """Return why no layout passes a bound that was found before.

    Parameters
    ----------
    task : Task
        The cells and fabrics it was found for.
    bound : float
        The bound, CIEDE2000: one of the task's differences.
    """
    if not len(task.edges):
        return Cause(CauseKind.NOTHING_TOUCHES)
    level = int(np.abs(task.values - bound).argmin())
    counted = _lowest(task, counting_bounds(task))
    return (counted if counted.level <= level else _searched(task, level)).cause


def _searched(task: Task, level: int) -> Bound:
    """Return a bound found by the solver, with the fabrics that differ by just that."""
    found = np.argwhere(np.triu(task.levels == level, 1))
    pairs = tuple((int(task.fabrics[one]), int(task.fabrics[other])) for one, other in found)
    value = float(task.values[level])
    fabrics = numbers(task, np.unique(found).tolist())
    return Bound(level, Cause(CauseKind.SEARCH, value, fabrics, pairs=pairs))

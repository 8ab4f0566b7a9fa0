"""Make an objective small by exchanging the fabrics of two cells, which keeps every count.

Two ways: iterated tabu search over the whole table of swaps, for hundreds of
cells, and a heat bath that goes through the cells one by one, for thousands.
Both rest on the field H (what each fabric would cost in each cell), which
gives the gain of a swap at once and is cheap to keep:

    gain(i, j) = H[i, g] - H[i, f] + H[j, f] - H[j, g]
                 + sum_k W_k[i, j] (2 S_k[f, g] - S_k[f, f] - S_k[g, g])

for f in cell i and g in cell j. A negative gain makes the layout better.
Work is counted in steps, never in time, and every random choice is seeded.

References
----------
E. Taillard, Robust taboo search for the quadratic assignment problem, Parallel
Computing 17 (1991), 443-455: the table of gains and the resting times.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.objective import CONTACT, Objective, round_similarity

if TYPE_CHECKING:
    from placement.top.reach.task import Bools, Ints
    from placement.top.request import Floats

Tick = Callable[[float], None]
"""Called now and then with the share of the steps done; raising stops the search."""

_TICKS = 64
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


def _silent(_: float) -> None:
    """Ignore a tick."""


class Walk:
    """A layout, its energy and its field, kept up to date while cells are swapped."""

    def __init__(self, objective: Objective, layout: Ints) -> None:
        self.pairs = objective.pairs
        self.similarity = objective.similarity
        own = np.einsum("kff->kf", objective.similarity)
        self.mixing = 2 * objective.similarity - own[:, :, None] - own[:, None, :]
        self.layout = layout.copy()
        self.here = np.arange(len(layout))
        self.field = np.ascontiguousarray(objective.field(layout).T)
        self.now = self.field[self.layout, self.here]
        self.energy = objective.energy(layout)

    def between(self, cell: int) -> tuple[Ints | slice, Floats]:
        """Return a cell's partners and the last term of the gain with each."""
        partners, weights = self.pairs.around(cell)
        mixing = self.mixing[:, self.layout[cell]][:, self.layout[partners]]
        return partners, np.einsum("kj,kj->j", weights, mixing)

    def gains(self, cell: int) -> Floats:
        """Return the gain of a swap with every cell, shape (n,)."""
        own = self.layout[cell]
        gains: Floats = self.field[own] - self.now
        gains += self.field[self.layout, cell]
        gains -= self.now[cell]
        partners, between = self.between(cell)
        gains[partners] += between
        gains[self.layout == own] = 0.0
        return gains

    def swap(self, one: int, other: int, gain: float) -> None:
        """Exchange the fabrics of two cells, knowing the gain."""
        layout = self.layout
        first, second = layout[one], layout[other]
        change = (self.similarity[:, :, second] - self.similarity[:, :, first]).T
        if self.pairs.dense:
            self.field += change @ (self.pairs.values[:, one] - self.pairs.values[:, other])
        else:
            for cell, sign in ((one, 1.0), (other, -1.0)):
                partners, weights = self.pairs.around(cell)
                self.field[:, partners] += (sign * change) @ weights
        layout[one], layout[other] = second, first
        self.now = self.field[layout, self.here]
        self.energy += gain


class Meetings:
    """How often each pair of fabrics touches, kept up to date while cells are swapped."""

    def __init__(self, objective: Objective, layout: Ints) -> None:
        self.touching = objective.touching()
        self.lies = lying(objective.fabrics, layout)
        self.around = np.asarray(self.lies @ self.touching)
        """Cells of each fabric that each cell touches, shape (K, n)."""
        self.contacts = float(self.around.sum()) / 2
        self._count(layout)

    def _count(self, layout: Ints) -> None:
        met = self.lies @ self.around.T
        diagonal = met.diagonal() / 2
        met.flat[:: len(met) + 1] = diagonal
        known = met > 0
        self.repeats = self.contacts - (np.count_nonzero(known) + np.count_nonzero(diagonal)) / 2
        self.laying = known.astype(np.float64) @ self.around
        """Contacts that would repeat a pair if a fabric were laid in a cell, shape (K, n)."""
        again = (met > 1).astype(np.float64)
        self.lifting = np.einsum("kn,kn->n", again[:, layout], self.around)
        """Contacts of each cell that repeat a pair now, shape (n,)."""

    def swap(self, one: int, other: int, layout: Ints) -> None:
        """Follow a swap; the layout is the one after it."""
        change = self.touching[one] - self.touching[other]
        here, there = layout[one], layout[other]
        self.around[here] += change
        self.around[there] -= change
        self.lies[[there, here], one] = 0, 1
        self.lies[[here, there], other] = 0, 1
        self._count(layout)


def lying(fabrics: int, layout: Ints) -> Floats:
    """Return 1 where a fabric lies in a cell, else 0, shape (K, n)."""
    lies = np.zeros((fabrics, len(layout)))
    lies[layout, np.arange(len(layout))] = 1
    return lies


_OFFERED = 100
"""Swaps looked at, at most, when the best are asked for."""


def promising(walk: Walk) -> list[tuple[float, int, int]]:
    """Return the swaps that make a layout better: gain and two cells, best first.

    At most 100, and at most the best partner of each cell on a large top.
    """
    count = len(walk.layout)
    if walk.pairs.dense:
        mixing = walk.mixing[:, walk.layout][:, :, walk.layout]
        table = walk.field[walk.layout] - walk.now
        table = table + table.T + np.einsum("kij,kij->ij", walk.pairs.values, mixing)
        one, other = np.nonzero(np.triu(table < 0, 1))
        gains = table[one, other]
    else:
        rows = [walk.gains(cell) for cell in range(count)]
        one, other = np.arange(count), np.array([row.argmin() for row in rows])
        gains = np.array([row.min() for row in rows])
    order = np.lexsort((other, one, gains))[:_OFFERED]
    return [(float(gains[k]), int(one[k]), int(other[k])) for k in order if gains[k] < 0]


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


class _Table:
    """The gains of all swaps of a walk, whose cells also rest."""

    def __init__(
        self, objective: Objective, layout: Ints, variety: Variety, together: Bools
    ) -> None:
        self.walk = Walk(objective, layout)
        self.variety = variety
        self.barred = np.where(together, np.inf, 0.0)
        mixing = self.walk.mixing[:, layout][:, :, layout]
        self.between = np.einsum("kij,kij->ij", self.walk.pairs.values, mixing)
        self.between += self.barred[np.ix_(layout, layout)]
        self.meetings = None
        if variety.price > 0:
            self.meetings = Meetings(objective, layout)

    def total(self) -> float:
        """Return the energy and what the repeated contacts cost."""
        repeats = self.meetings.repeats if self.meetings else 0.0
        return self.walk.energy + self.variety.of(repeats)

    def best(self, resting: Bools) -> tuple[int, int, float]:
        """Return the swap with the least gain, repeated contacts counted about right."""
        walk, meetings = self.walk, self.meetings
        field, now = walk.field, walk.now
        if meetings is not None and meetings.repeats >= self.variety.allowed:
            field = field + self.variety.price * meetings.laying
            now = now + self.variety.price * meetings.lifting
        one_way = field[walk.layout] - np.where(resting, -np.inf, now)
        table = one_way + one_way.T
        table += self.between
        one, other = divmod(int(table.argmin()), len(now))
        return one, other, float(table[one, other])

    def swap(self, one: int, other: int) -> None:
        """Exchange the fabrics of two cells."""
        walk = self.walk
        layout, field, now = walk.layout, walk.field, walk.now
        gain = field[layout[other], one] + field[layout[one], other] - now[one] - now[other]
        walk.swap(one, other, float(gain + self.between[one, other]))
        both = [one, other]
        mixing = walk.mixing[:, layout[both]][:, :, layout]
        rows = np.einsum("krj,krj->rj", walk.pairs.values[:, both], mixing)
        rows += self.barred[layout[both]][:, layout]
        self.between[both] = rows
        self.between[:, both] = rows.T
        if self.meetings is not None:
            self.meetings.swap(one, other, layout)


def tabu(
    objective: Objective,
    layout: Ints,
    rng: np.random.Generator,
    *,
    steps: int,
    variety: Variety | None = None,
    together: Bools | None = None,
    tick: Tick = _silent,
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
    least, most = max(1, int(_REST[0] * count)), max(_LEAST_REST, int(_REST[1] * count))
    stall = int(np.clip(2 * count, *_STALL))
    rests = rng.integers(least, most + 1, size=(steps, 2))
    table = _Table(objective, layout, variety, barred)
    kept, lowest, since = layout.copy(), table.total(), 0
    until = np.zeros(count, dtype=np.int64)
    for step in range(steps):
        if step % _TICKS == 0:
            tick(step / steps)
        one, other, gain = table.best(until > step)
        if not np.isfinite(gain):
            if not (until > step).any():
                break
            until[:] = 0
            continue
        table.swap(one, other)
        until[[one, other]] = step + 1 + rests[step]
        if table.total() < lowest:
            kept, lowest, since = table.walk.layout.copy(), table.total(), step
        elif step - since >= stall:
            table = _Table(objective, kicked(objective, kept, rng), variety, barred)
            until[:], since = 0, step
    return kept


def kicked(objective: Objective, layout: Ints, rng: np.random.Generator) -> Ints:
    """Return a layout with a few cells swapped at random, where that is allowed."""
    layout = layout.copy()
    swaps = max(_LEAST_KICK, int(_KICK * len(layout) / 2))
    for one, other in rng.integers(0, len(layout), (swaps, 2)):
        swapped = objective.cost[one, layout[other]] + objective.cost[other, layout[one]]
        if np.isfinite(swapped):
            layout[one], layout[other] = layout[other], layout[one]
    return layout


def heat_bath(
    objective: Objective,
    layout: Ints,
    rng: np.random.Generator,
    *,
    temperatures: Floats,
    crowding: float = 0.0,
    tick: Tick = _silent,
) -> Ints:
    """Return the layout after one sweep over the cells at each temperature.

    Each cell in turn is swapped with a cell drawn with probability
    proportional to exp(-gain / temperature) (by Gumbel noise, drawn once a
    sweep and read from a random place on); at 0 with the best one.

    Parameters
    ----------
    crowding : float
        Price of meeting a fabric twice as often as the others, set anew each sweep.

    Notes
    -----
    A sweep costs O(n (n + K p)) for p partners of a cell.
    """
    count = len(layout)
    for number, temperature in enumerate(temperatures):
        tick(number / len(temperatures))
        walk = Walk(_priced(objective, layout, crowding), layout)
        # Noise for every pair of cells would cost more than the gains do.
        noise, places = temperature * rng.gumbel(size=2 * count), rng.integers(0, count, count)
        for cell, place in zip(rng.permutation(count), places, strict=True):
            gains = walk.gains(cell)
            other = int((gains - noise[place : place + count]).argmin())
            if walk.layout[other] != walk.layout[cell]:
                walk.swap(int(cell), other, float(gains[other]))
        layout = walk.layout
    return layout


def _priced(objective: Objective, layout: Ints, crowding: float) -> Objective:
    """Return the objective with a price on contacts between fabrics that meet too often."""
    if crowding <= 0:
        return objective
    lies = lying(objective.fabrics, layout)
    met = lies @ (objective.touching() @ lies.T)
    excess = np.maximum(0.0, met / max(met.mean(), 1.0) - 1.0)
    similarity = objective.similarity.copy()
    similarity[CONTACT] += round_similarity(crowding * excess)
    return replace(objective, similarity=similarity)

"""Make a large top better cell by cell: a heat bath with counts on lines beside the objective.

Like the search over the table of swaps it rests on the field of a walk (see walk), but its
steps cost in proportion to the partners looked at, not to their square. What a sweep leaves
too near or too alike is mended by starting from just those cells (min-conflicts; Minton,
Johnston, Philips and Laird, Artificial Intelligence 58, 1992), with rests.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.counted import lying
from placement.top.arrange.geometry import Ground
from placement.top.arrange.lines import Lines
from placement.top.arrange.objective import CONTACT, Objective, round_similarity
from placement.top.arrange.pairs import near_pairs
from placement.top.arrange.search import unwatched
from placement.top.arrange.walk import Walk
from placement.top.reach.task import Ints

if TYPE_CHECKING:
    from placement.top.arrange.promises import Promises
    from placement.top.arrange.search import Tick
    from placement.top.arrange.validation import Ask
    from placement.top.request import Floats

_PARTNERS = 400
"""Cells that each is tried against in a sweep, at most, drawn anew each time ..."""
_PARTNERS_MENDING = 1500
"""... and while a layout is mended."""
_LOOKS = 5, 1 / 500
"""Swaps after which it is looked anew which cells clash, at least, and for each cell."""
_RESTS = (5, 20)
"""Swaps that a cell rests while a layout is mended."""


@dataclass(frozen=True, slots=True, eq=False)
class Fair:
    """What uneven counts on lines cost in a sweep."""

    where: Ground
    """The cells."""
    copies: Ints
    """Cells of each fabric, shape (K,)."""
    price: float
    """Cost of a cell too many or too few on a line, in standard deviations."""


class Clashes:
    """Which cells lie too near to a copy of their fabric or beside one too like it."""

    def __init__(self, made: Ask, limits: Promises) -> None:
        task = made.task
        self.near = near_pairs(made.where, limits.copies_apart)
        self.edges = task.edges
        self.alike = task.values[task.levels] < limits.least

    def cells(self, layout: Ints) -> Ints:
        """Return them, once for each clash."""
        copies = self.near[layout[self.near[:, 0]] == layout[self.near[:, 1]]]
        first, second = self.edges.T
        alike = self.edges[self.alike[layout[first], layout[second]]]
        return np.concatenate([copies.ravel(), alike.ravel()])


def heat_bath(
    objective: Objective,
    layout: Ints,
    rng: np.random.Generator,
    *,
    temperatures: Floats,
    crowding: float = 0.0,
    fair: Fair | None = None,
    tick: Tick = unwatched,
) -> Ints:
    """Return the layout after one sweep over the cells at each temperature.

    Each cell in turn is swapped with one of up to 400 others, drawn with probability
    proportional to exp(-gain / temperature) (by Gumbel noise, drawn once a
    sweep and read from a random place on); at 0 with the best one.

    Parameters
    ----------
    crowding : float
        Price of meeting a fabric twice as often as the others, set anew each sweep.
    fair : Fair | None
        The price of uneven lines, if they cost anything.

    Notes
    -----
    A sweep costs O(n (n + K p)) for p partners of a cell, by far most of it in p.
    """
    for number, temperature in enumerate(temperatures):
        tick(number / len(temperatures))
        priced = _priced(objective, layout, crowding)
        layout = _swept(priced, layout, rng, float(temperature), fair)
    return layout


def _swept(
    objective: Objective,
    layout: Ints,
    rng: np.random.Generator,
    temperature: float,
    fair: Fair | None,
) -> Ints:
    """Return the layout after one sweep."""
    count = len(layout)
    walk = Walk(objective, layout)
    layout = walk.layout
    lines = Lines(fair.where, fair.copies, layout) if fair else None
    price = fair.price / count if fair else 0.0
    width = min(count, _PARTNERS)
    # Noise and partners for every pair of cells would cost more than the gains do.
    noise = temperature * rng.gumbel(size=2 * count)
    partners = np.tile(rng.permutation(count), 2)
    places = rng.integers(0, count, (count, 2))
    for cell, (place, draw) in zip(rng.permutation(count).tolist(), places.tolist(), strict=True):
        others = partners[place : place + width]
        gains = walk.gains(cell, others)
        cost = gains + price * lines.gains(cell, others, layout) if lines else gains.copy()
        cost[layout[others] == layout[cell]] = 0.0
        cost -= noise[draw : draw + width]
        best = int(cost.argmin())
        other = int(others[best])
        if layout[other] != layout[cell]:
            walk.swap(cell, other, float(gains[best]))
            if lines:
                lines.swap(cell, other, layout)
    return layout


def mended(
    objective: Objective,
    layout: Ints,
    clashes: Clashes,
    rng: np.random.Generator,
    *,
    fair: Fair,
    steps: int,
) -> Ints:
    """Return a layout with fewer clashes, or the one with the fewest seen in so many swaps.

    Each swap is the best there is of a cell that clashes, better or worse; its two cells
    then rest for a while.
    """
    count = len(layout)
    walk = Walk(objective, layout)
    layout = walk.layout
    lines, price = Lines(fair.where, fair.copies, layout), fair.price / count
    width = min(count, _PARTNERS_MENDING)
    partners = np.tile(rng.permutation(count), 2)
    until = np.zeros(count, dtype=np.int64)
    looks = max(_LOOKS[0], int(_LOOKS[1] * count))
    kept, fewest = layout.copy(), np.inf
    clashing: Ints = np.empty(0, dtype=np.int64)
    for step in range(steps):
        if step % looks == 0:
            clashing = clashes.cells(layout)
            if len(clashing) < fewest:
                kept, fewest = layout.copy(), len(clashing)
            if not fewest:
                break
        cell, place = int(clashing[rng.integers(len(clashing))]), int(rng.integers(count))
        if until[cell] > step:
            continue
        others = partners[place : place + width]
        gains = walk.gains(cell, others)
        cost = gains + price * lines.gains(cell, others, layout)
        cost[(layout[others] == layout[cell]) | (until[others] > step)] = np.inf
        best = int(cost.argmin())
        if np.isfinite(cost[best]):
            other = int(others[best])
            walk.swap(cell, other, float(gains[best]))
            lines.swap(cell, other, layout)
            until[[cell, other]] = step + rng.integers(*_RESTS, 2)
    return kept


def _priced(objective: Objective, layout: Ints, crowding: float) -> Objective:
    """Return the objective with a price on contacts between fabrics that meet too often."""
    if crowding <= 0:
        return objective
    lies = lying(objective.fabrics, layout)
    met = lies @ (objective.touching() @ lies.T)
    excess = met / max(met.mean(), 1.0) - 1.0
    similarity = objective.similarity.copy()
    similarity[CONTACT] += round_similarity(crowding * excess)
    return replace(objective, similarity=similarity)

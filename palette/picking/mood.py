"""The fabrics nearest to a mood, without near-twins: a least sum, solved and proved.

A mood is a fabric, or one colour. As quilters pull fabrics from a focus print, each is
as far from it as what it reads as is from the nearest of the mood's colours: those that
cover a twentieth of it, and the one that it reads as.

Branch and bound: fabrics are tried from the nearest on; a branch is given up when
even the nearest that are left, twins or not, would add up to no less than what is
found already.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, difference
from palette.picking.similarity import reads_as_colours

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from palette.fabric import Fabric

_COUNTS = 0.05
"""Part of the mood's fabric that a colour covers to be one of its colours."""

STEPS = 50_000
"""How often the search may branch."""


def from_mood(fabrics: Sequence[Fabric], mood: Fabric) -> Floats:
    """Return how far each fabric is from a mood: CIEDE2000, shape (N,)."""
    pulled = [part.colour for part in mood.colours if part.share >= _COUNTS]
    colours = np.array([colour.array() for colour in (mood.reads_as, *pulled)])
    off = difference(reads_as_colours(fabrics)[:, None], colours[None])
    return np.asarray(np.round(off.min(axis=1), 6))


@dataclass(frozen=True, slots=True)
class Nearest:
    """A set of places and how far off they are."""

    chosen: tuple[int, ...]
    """The places, ascending."""
    off: float
    """Their distances added up."""
    proved: bool
    """Whether no other such set has a smaller `off`."""
    bound: float
    """What `off` of no such set falls short of."""


def nearest_set(
    off: Floats,
    apart: Floats,
    count: int,
    least: float,
    pinned: Collection[int] = (),
    steps: int = STEPS,
) -> Nearest | None:
    """Choose places that are nearest on the whole, no two of them near each other.

    Parameters
    ----------
    off : array of shape (N,)
        Distance of each place from the middle.
    apart : array of shape (N, N)
        Distance of every two.
    count : int
        How many to choose, pins included.
    least : float
        No two chosen ones but pins may be nearer.
    pinned : collection of int
        Places to choose at any rate.
    steps : int
        How often the search may branch.

    Returns
    -------
    Nearest or None
        None if there is no such set, or none was found in so many steps.
    """
    pins = sorted(set(pinned))
    fits = [p for p in range(len(off)) if p not in pins and (apart[p, pins] >= least).all()]
    order = sorted(fits, key=lambda place: (float(off[place]), place))
    cost = np.array([off[place] for place in order])
    joined = apart[np.ix_(order, order)] >= least
    search = _Search(cost, [_bits(row) for row in joined], steps)
    search.walk((1 << len(order)) - 1, count - len(pins), 0.0, [])
    if search.best is None:
        return None
    base = float(sum(off[place] for place in pins))
    proved = search.steps > 0
    bound = search.least if proved else float(cost[: count - len(pins)].sum())
    chosen = sorted([*pins, *(order[at] for at in search.best)])
    return Nearest(tuple(chosen), base + search.least, proved, base + bound)


def _bits(row: Floats) -> int:
    return sum(1 << int(at) for at in np.flatnonzero(row))


class _Search:
    def __init__(self, cost: Floats, joined: list[int], steps: int) -> None:
        self.cost = cost.tolist()
        self.joined = joined
        self.steps = steps
        self.best: list[int] | None = None
        self.least = np.inf

    def walk(self, among: int, size: int, spent: float, taken: list[int]) -> None:
        """Choose `size` more places among those of a bit set."""
        if not size:
            if spent < self.least:
                self.best, self.least = [*taken], spent
            return
        while among and self.steps > 0:
            if spent + self._cheapest(among, size) >= self.least:
                return
            self.steps -= 1
            bit = among & -among
            among ^= bit
            at = bit.bit_length() - 1
            self.walk(among & self.joined[at], size - 1, spent + self.cost[at], [*taken, at])

    def _cheapest(self, among: int, size: int) -> float:
        """Return the least that many of a bit set can cost; infinite if it has not so many."""
        total = 0.0
        for _ in range(size):
            if not among:
                return np.inf
            bit = among & -among
            total += self.cost[bit.bit_length() - 1]
            among ^= bit
        return total

"""A clique heavier than a limit: fabrics all alike with more copies than there is room for."""

from __future__ import annotations

import numpy as np

from placement.top.task import Bools, Ints

_STEPS = 20_000
"""Branchings before the exact search gives up; greedy cliques are tried first."""


def heavy_clique(joined: Bools, weights: Ints, limit: int) -> list[int] | None:
    """Return a clique whose weights add up to more than the limit, or None.

    None is not a proof that there is no such clique: the search gives up after
    a fixed number of steps.

    Parameters
    ----------
    joined : shape (K, K), which two are joined; the diagonal does not matter.
    weights : shape (K,), whole numbers.
    limit : the weight to pass.
    """
    for start in range(len(weights)):
        clique = _greedy(joined, weights, start)
        if weights[clique].sum() > limit:
            return clique
    return _Branching(joined, weights, limit).search()


def crowds(joined: Bools, weights: Ints, count: int) -> list[list[int]]:
    """Return the heaviest different cliques that growing from each member finds."""
    grown = {tuple(_greedy(joined, weights, start)) for start in range(len(weights))}
    heaviest = sorted(grown, key=lambda clique: (-weights[list(clique)].sum(), clique))
    return [list(clique) for clique in heaviest[:count]]


def _greedy(joined: Bools, weights: Ints, start: int) -> list[int]:
    """Grow a clique, each time by the fabric that leaves the most weight to choose from."""
    clique, open_ = [start], joined[start].copy()
    open_[start] = False
    while open_.any():
        choices = np.flatnonzero(open_)
        left = joined[np.ix_(choices, choices)] @ weights[choices]
        chosen = int(choices[left.argmax()])
        clique.append(chosen)
        open_ &= joined[chosen]
        open_[chosen] = False
    return sorted(clique)


class _Branching:
    """Branch and bound on bit sets; a colouring of what is left bounds its weight."""

    def __init__(self, joined: Bools, weights: Ints, limit: int) -> None:
        self.near = [
            sum(1 << int(f) for f in np.flatnonzero(row) if f != own)
            for own, row in enumerate(joined)
        ]
        self.weights = [int(weight) for weight in weights]
        self.limit = limit
        self.steps = _STEPS

    def search(self) -> list[int] | None:
        return self._grow((1 << len(self.weights)) - 1, [], 0)

    def _grow(self, left: int, clique: list[int], weight: int) -> list[int] | None:
        if weight > self.limit:
            return sorted(clique)
        for member, bound in self._order(left):
            self.steps -= 1
            if self.steps < 0 or weight + bound <= self.limit:
                return None
            found = self._grow(
                left & self.near[member], [*clique, member], weight + self.weights[member]
            )
            if found is not None:
                return found
            left &= ~(1 << member)
        return None

    def _order(self, left: int) -> list[tuple[int, int]]:
        """Colour what is left; return members with a bound on cliques of them and all before."""
        order, bound = [], 0
        while left:
            heaviest, free = 0, left
            while free:
                low = free & -free
                member = low.bit_length() - 1
                heaviest = max(heaviest, self.weights[member])
                order.append((member, bound + heaviest))
                left ^= low
                free &= ~(low | self.near[member])
            bound += heaviest
        return order[::-1]

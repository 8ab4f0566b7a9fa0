"""Whether a graph has a clique of a given size: an exact search.

Branch and bound with a greedy colouring for a bound, on bit sets held in plain
integers (Tomita and Seki 2003; San Segundo, Rodriguez-Losada, Jimenez 2011,
doi:10.1016/j.cor.2010.07.019). Bit i stands for vertex i.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

_DEEPEST = 300
"""Larger cliques are not searched: the search calls itself once for each vertex."""


class OutOfStepsError(Exception):
    """A search ended before it had an answer."""


def clique(joined: NDArray[np.bool_], size: int, steps: int) -> list[int] | None:
    """Find vertices that are all joined to each other.

    Parameters
    ----------
    joined : bool array of shape (N, N)
        Symmetric; the diagonal is not looked at. The search is quickest when
        the vertices with most neighbours come first.
    size : int
        How many vertices are wanted, 0 or more.
    steps : int
        How often the search may branch.

    Returns
    -------
    list of int or None
        The vertices, ascending; None if there is no such clique.

    Raises
    ------
    OutOfStepsError
        If the steps did not suffice.
    """
    search = _Search(_rows(joined), steps)
    taken, among = search.free_of_choice((1 << len(joined)) - 1)
    found = search.find(among, size - taken.bit_count())
    if found is None:
        return None
    return [bit.bit_length() - 1 for bit in _bits(taken | found)][:size]


def _rows(joined: NDArray[np.bool_]) -> list[int]:
    """Return each row as an integer, its own bit cleared."""
    packed = np.packbits(joined, axis=1, bitorder="little")
    return [int.from_bytes(row.tobytes(), "little") & ~(1 << at) for at, row in enumerate(packed)]


def _bits(mask: int) -> Iterator[int]:
    while mask:
        bit = mask & -mask
        yield bit
        mask ^= bit


class _Search:
    """One graph and the steps that are left."""

    def __init__(self, joined: list[int], steps: int) -> None:
        self.joined = joined
        self.steps = steps

    def free_of_choice(self, among: int) -> tuple[int, int]:
        """Take vertices no largest clique can be harmed by, and return what is still to choose.

        If the vertices not joined to v are not joined to each other either, a
        clique holds at most one of them, and v may stand in for it.
        """
        taken, before = 0, -1
        while among != before:
            before = among
            for bit in _bits(before):
                if bit & among and self._stands_in(bit, among):
                    taken |= bit
                    among &= self.joined[bit.bit_length() - 1]
        return taken, among

    def _stands_in(self, bit: int, among: int) -> bool:
        apart = among & ~self.joined[bit.bit_length() - 1] & ~bit
        return not any(self.joined[other.bit_length() - 1] & apart for other in _bits(apart))

    def find(self, among: int, size: int) -> int | None:
        """Return a clique of that size within `among` as bits, or None."""
        if size <= 0:
            return 0
        self.steps -= 1
        if self.steps < 0 or size > _DEEPEST:
            raise OutOfStepsError
        for bit in reversed(self._branches(among, size)):
            found = self.find(among & self.joined[bit.bit_length() - 1], size - 1)
            if found is not None:
                return found | bit
            among ^= bit
        return None

    def _branches(self, among: int, size: int) -> list[int]:
        """Return the vertices one of which every clique of that size must hold.

        Coloured greedily, vertices of one colour are never joined, so the first
        size - 1 colours cannot make the clique by themselves.
        """
        branches = []
        colour = 0
        while among:
            colour += 1
            free = among
            while free:
                bit = free & -free
                among ^= bit
                free &= ~(self.joined[bit.bit_length() - 1] | bit)
                if colour >= size:
                    branches.append(bit)
        return branches

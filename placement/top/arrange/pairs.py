"""Weights between pairs of cells: all of them for small tops, the ones that matter for large.

A set of T weights W[k, i, j] is symmetric with an empty diagonal. Kept dense it
takes 8 T n^2 bytes, which is 200 MB at 2,500 cells; above ``MOST_DENSE`` cells
only near pairs and pairs on a shared line are kept, above ``_MOST_LINED`` only near ones.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.sparse import csr_array
from scipy.spatial import cKDTree

from placement.top.arrange.geometry import OUTSIDE, Ground
from placement.top.reach.task import Ints
from placement.top.request import Floats

MOST_DENSE = 600
"""Up to so many cells every pair has its weight."""
_NEAR = 7.0
"""Block sides within which a pair is kept on a larger top."""
_MOST_LINED = 3000
"""Up to so many cells pairs on a shared line are kept, too, however far apart."""
_WEIGHT_GRAIN = 2.0**20

Kernel = Callable[[Ints, Ints], Floats]
"""From cells i and cells j (shapes that broadcast) to the weight of each pair."""


@dataclass(frozen=True, slots=True, eq=False)
class Pairs:
    """Weights between n cells."""

    starts: Ints
    """Where each cell's partners start, shape (n + 1,); empty when every pair is kept."""
    partners: Ints
    """Partner cells one after the other; empty when every pair is kept."""
    values: Floats
    """Weights, shape (T, n, n) when every pair is kept, else (T, pairs)."""

    @property
    def dense(self) -> bool:
        """Whether every pair is kept."""
        return self.values.ndim == 3

    def around(self, cell: int) -> tuple[Ints | slice, Floats]:
        """Return a cell's partners and the weights with them, shape (T, partners)."""
        if self.dense:
            return slice(None), self.values[:, cell]
        part = slice(self.starts[cell], self.starts[cell + 1])
        return self.partners[part], self.values[:, part]

    def field(self, similarity: Floats, layout: Ints) -> Floats:
        """Return sum over k and j of W[k, i, j] S[k, x_j, f], shape (n, K)."""
        terms = range(len(self.values))
        return np.asarray(sum(self.matrix(k) @ similarity[k][layout] for k in terms))

    def matrix(self, term: int) -> Floats | csr_array:
        """Return the weights of one term, shape (n, n)."""
        if self.dense:
            return self.values[term]
        count = len(self.starts) - 1
        return csr_array((self.values[term], self.partners, self.starts), shape=(count, count))

    def sums(self, term: int) -> tuple[Floats, float]:
        """Return the sum of each cell's weights, and the sum of all squared weights."""
        matrix = self.matrix(term)
        squares = float((self.values[term] ** 2).sum())
        return np.asarray(matrix @ np.ones(matrix.shape[0])), squares


def round_weights(values: Floats) -> Floats:
    """Round to 2^-20, so that sums of products are exact in any order."""
    return np.round(values * _WEIGHT_GRAIN) / _WEIGHT_GRAIN


def make_pairs(where: Ground, kernels: Sequence[Kernel]) -> Pairs:
    """Evaluate kernels on the pairs that are kept; a cell has no weight with itself."""
    count = where.count
    if count <= MOST_DENSE:
        first, second = np.arange(count)[:, None], np.arange(count)[None, :]
        values = np.stack([np.where(first != second, k(first, second), 0.0) for k in kernels])
        empty = np.empty(0, dtype=np.int64)
        return Pairs(empty, empty, values)
    first, second, starts = _kept(where)
    return Pairs(starts, second, np.stack([kernel(first, second) for kernel in kernels]))


@lru_cache(maxsize=2)
def _kept(where: Ground) -> tuple[Ints, Ints, Ints]:
    """Return the pairs kept on a large top, both ways round, and where each cell's start."""
    found = [near_pairs(where, _NEAR + 2e-6)]
    if where.count <= _MOST_LINED:
        found += [_mates(labels) for labels in where.lines[:4]]
    one, other = np.concatenate(found).T
    keys = np.sort(np.concatenate([one * where.count + other, other * where.count + one]))
    # By sorting: for millions of keys numpy's unique, which hashes, takes ten times as long.
    keys = keys[np.append(True, keys[1:] != keys[:-1])]
    first, second = np.divmod(keys, where.count)
    kept = first != second
    first, second = first[kept], second[kept]
    return first, second, np.searchsorted(first, np.arange(where.count + 1))


def near_pairs(where: Ground, distance: float) -> Ints:
    """Return the pairs of cells nearer than a distance in block sides, shape (pairs, 2)."""
    tree = cKDTree(where.places())
    return np.asarray(tree.query_pairs(distance - 1e-6, output_type="ndarray"), dtype=np.int64)


def _mates(labels: Ints) -> Ints:
    """Return the pairs of cells with the same label, shape (pairs, 2)."""
    order = np.argsort(labels, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(labels[order])) + 1)
    grids = [np.stack(np.meshgrid(g, g, indexing="ij"), axis=-1).reshape(-1, 2) for g in groups]
    return np.concatenate(grids)


def nearness(where: Ground) -> Kernel:
    """Weigh a pair by one over its squared distance: point neighbours half of edge neighbours."""
    return lambda i, j: 1.0 / np.maximum(where.squares(i, j), 1.0)


def sharing(where: Ground) -> Kernel:
    """Weigh a pair by the sum of 1 / length over the lines and the quadrant it shares."""
    shares = 1.0 / np.maximum(where.lengths(), 1)

    def weigh(i: Ints, j: Ints) -> Floats:
        total = np.zeros(np.broadcast_shapes(i.shape, j.shape))
        for labels, share in zip(where.lines, shares, strict=True):
            total += np.where((labels[i] == labels[j]) & (labels[i] != OUTSIDE), share[i], 0.0)
        return total

    return weigh


def checkered(where: Ground, touch: str) -> Kernel:
    """Weigh a pair 1 on one colour of a checkerboard and -1 across, less what chance gives."""
    key = where.rows + where.columns if touch == "edge" and where.step == 1 else where.rows
    colour = np.where(key % 2 == 0, 1.0, -1.0)
    colour = colour - colour.mean()
    return lambda i, j: colour[i] * colour[j]


def blur(where: Ground, width: float) -> Kernel:
    """Weigh a pair by exp(-R^2 / 2 width^2): what the eye sees when it steps back."""
    return lambda i, j: np.exp(-where.squares(i, j) / (2 * width * width))


def within(where: Ground, distance: float) -> Kernel:
    """Weigh a pair 1 if it is nearer than a distance in block sides."""
    return lambda i, j: (where.squares(i, j) < distance * distance - 1e-6).astype(np.float64)


def touching(where: Ground, touch: str) -> Kernel:
    """Weigh a pair 1 if it shares an edge ('edge'), or only a point ('point')."""
    square = 1.0 if touch == "edge" else 2.0
    return lambda i, j: (np.abs(where.squares(i, j) - square) < 1e-6).astype(np.float64)

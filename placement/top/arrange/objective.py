"""What makes a layout good, as one number to be made small.

    E(x) = 1/2 sum_k sum_{i != j} W_k[i, j] S_k[x_i, x_j] + sum_i C[i, x_i]

a quadratic assignment with several pairs of matrices. Spread, evenness and
balance are each measured in standard deviations of a random layout (by
Mantel's moments), so that their weights have no units; neighbours that are too
alike and copies that are too near cost so much that they are only left where
nothing else is possible. W is rounded to 2^-20 and S to 2^-14: all sums are
then exact, and a layout does not depend on the order they are taken in.

Words used here: cells i, j (n of them), fabrics f, g (K), copies m, layout x
(the fabric of each cell).

References
----------
N. Mantel, The detection of disease clustering and a generalized regression
approach, Cancer Research 27 (1967), 209-220: mean and variance of the double
sum under random permutation.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.pairs import (
    MOST_DENSE,
    Kernel,
    Pairs,
    blur,
    checkered,
    make_pairs,
    nearness,
    round_weights,
    sharing,
    touching,
    within,
)
from placement.top.request import Floats

if TYPE_CHECKING:
    from scipy.sparse import csr_array

    from placement.top.arrange.geometry import Ground
    from placement.top.reach.task import Ints, Task

SPREAD, EVENNESS, BALANCE = 1.0, 0.5, 0.5
"""Weights of the three terms of the second level."""
LINES, BOARD = 1.0, 3.0
"""Weights of light and dark on lines, and on a checkerboard, as parts of that of balance."""
LOUD = 0.3
"""Weight of spreading loud prints, as a part of that of spreading like colours."""
ACCENTS = 1.0
"""The same of fabrics that stand out from all others."""
_CROWD = 1.25
"""Times the middle fabric's mean difference up to which one is no accent ..."""
_STEEP = 4.0
"""... and one over how much more makes it one altogether."""
CONTACT = 2
"""Number of the term of neighbours that are too alike."""
EQUAL_TOUCH = 3.0
"""Cost of a contact between two copies of one fabric, in standard deviations."""
TOO_ALIKE = 3.0
"""The most a contact between different fabrics can cost."""
STRICTER = 2.0
"""How much dearer both get where promises are to be kept."""
_TOO_NEAR = 1.0
"""Cost of two copies nearer than they may be."""
COPIES_APART = 0.745
"""Copies lie at least this times sqrt(n / m) apart: sqrt(10) for 4 copies on 72 cells."""
_BLUR = 0.22
"""Width of the balance kernel, as a part of the widest distance."""
_MOST_BLUR = 2.5
"""The same in block sides where only near pairs are kept."""
_LIKENESS_GRAIN = 2.0**14


@dataclass(frozen=True, slots=True, eq=False)
class Objective:
    """E(x) for n cells and K fabrics."""

    pairs: Pairs
    """Weights W between cells, T terms."""
    similarity: Floats
    """S between fabrics, shape (T, K, K)."""
    cost: Floats
    """C of a fabric in a cell, shape (n, K); infinite where it must not lie."""

    @property
    def fabrics(self) -> int:
        """How many fabrics, K."""
        return int(self.similarity.shape[1])

    def touching(self) -> Floats | csr_array:
        """Return 1 where two cells touch, else 0, shape (n, n)."""
        return self.pairs.matrix(CONTACT)

    def field(self, layout: Ints) -> Floats:
        """Return what each fabric would cost in each cell, all others staying, shape (n, K)."""
        return np.asarray(self.pairs.field(self.similarity, layout) + self.cost)

    def energy(self, layout: Ints) -> float:
        """Return E of a layout."""
        here = np.arange(len(layout))
        own = self.pairs.field(self.similarity, layout)[here, layout].sum() / 2
        return float(own + self.cost[here, layout].sum())


@dataclass(frozen=True, slots=True)
class Moments:
    """Mean and standard deviation of one term over all layouts with the same copies."""

    mean: float
    """Expected value of 1/2 sum W S."""
    deviation: float
    """Its standard deviation; 0 when every layout has the same value."""


def stricter(objective: Objective, times: float = STRICTER) -> Objective:
    """Return an objective with contacts too alike and copies too near so many times as dear."""
    similarity = objective.similarity.copy()
    similarity[CONTACT:] *= times
    return replace(objective, similarity=similarity)


def moments(weights: tuple[Floats, float], similarity: Floats, copies: Ints) -> Moments:
    """Return mean and deviation of 1/2 sum_{i != j} W[i, j] S[x_i, x_j] of a random layout.

    Parameters
    ----------
    weights : tuple[Floats, float]
        The sum of each cell's weights, shape (n,), and the sum of all squared weights.
    similarity : Floats
        S, shape (K, K), symmetric.
    copies : Ints
        Cells of each fabric, shape (K,), adding up to n.
    """
    n = len(weights[0])
    of_cells = _double_sums(weights[0], np.ones(n), weights[1])
    own = np.diag(similarity)
    squares = float(copies @ (similarity**2) @ copies - copies @ own**2)
    of_fabrics = _double_sums(similarity @ copies - own, copies, squares)
    pairs, triples, fours = n * (n - 1), n * (n - 1) * (n - 2), n * (n - 1) * (n - 2) * (n - 3)
    mean = of_cells[0] * of_fabrics[0] / max(pairs, 1)
    second = (
        2 * of_cells[1] * of_fabrics[1] / max(pairs, 1)
        + 4 * of_cells[2] * of_fabrics[2] / max(triples, 1)
        + of_cells[3] * of_fabrics[3] / max(fours, 1)
    )
    variance = second - mean * mean
    settled = variance <= 1e-9 * max(second, 1e-9)
    return Moments(mean / 2, 0.0 if settled else float(np.sqrt(variance)) / 2)


def _double_sums(sums: Floats, counts: Floats | Ints, squares: float) -> tuple[float, ...]:
    """Return Mantel's sums over ordered pairs: all, one pair squared, two sharing one, disjoint."""
    total = float(counts @ sums)
    shared = float(counts @ sums**2) - squares
    return total, squares, shared, total * total - 4 * shared - 2 * squares


def round_similarity(values: Floats) -> Floats:
    """Round to 2^-14, so that sums of products with rounded weights are exact in any order."""
    return np.round(values * _LIKENESS_GRAIN) / _LIKENESS_GRAIN


def alikeness(difference: Floats) -> Floats:
    """Return exp(-(d / d0)^2), d0 being half the median difference, kept within 5 to 15."""
    above = difference[np.triu_indices(len(difference), 1)]
    scale = float(np.clip(np.median(above) / 2, 5, 15)) if len(above) else 10.0
    return np.asarray(np.exp(-((difference / scale) ** 2)))


def neutral(similarity: Floats, copies: Ints) -> Floats:
    """Return similarity less what each fabric has with the average one: its product with m is 0.

    Without this, fabrics with many look-alikes would be driven to the rim.
    """
    average = similarity @ copies / copies.sum()
    return np.asarray(similarity - average[:, None] - average + copies @ average / copies.sum())


def accents(difference: Floats, copies: Ints) -> Floats:
    """Return how far each fabric stands out from the others, 0 to 1, shape (K,).

    By how much its mean difference from all cells passes that of the middle fabric; below
    half as much again it is one of the crowd.
    """
    mean = difference @ copies / copies.sum()
    middle = max(float(np.median(mean)), 1e-9)
    return np.asarray(np.clip((mean / middle - _CROWD) * _STEEP, 0.0, 1.0))


def shades(colours: Floats, copies: Ints) -> Floats:
    """Return z z' of z = (L, a/2, b/2) about its mean, scaled to at most 1."""
    z = colours * [1.0, 0.5, 0.5]
    z = z - copies @ z / copies.sum()
    product = z @ z.T
    return np.asarray(product / max(float(np.abs(product).max()), 1e-9))


def make_objective(
    task: Task,
    where: Ground,
    colours: Floats,
    wanted: float,
    *,
    cost: Floats | None = None,
    weights: tuple[float, float, float] = (SPREAD, EVENNESS, BALANCE),
    too_alike: float = TOO_ALIKE,
    loudness: Floats | None = None,
) -> Objective:
    """Return the objective of a task.

    Parameters
    ----------
    task, where : Task, Ground
        The cells and the fabrics that have copies (K of them).
    colours : Floats
        Lab, shape (K, 3).
    wanted : float
        Least difference between neighbours, t.
    cost : Floats | None
        Further cost of each fabric in each cell, shape (n, K).
    weights : tuple[float, float, float]
        Of spread, evenness and balance.
    too_alike : float
        The most a contact between different fabrics can cost.
    loudness : Floats | None
        How loud each fabric is, shape (K,): loud ones are spread like like colours.
    """
    difference = task.values[task.levels]
    alike, shade = neutral(alikeness(difference), task.copies), shades(colours, task.copies)
    rings = _rings(task.copies)
    raw = make_pairs(where, _kernels(task, where, [distance for distance, _ in rings]))
    spread = weights[0] * _per_deviation(raw, 0, alike, task.copies)
    even = weights[1] * _per_deviation(raw, 1, alike, task.copies)
    shaded = [
        weight * _per_deviation(raw, term, shade, task.copies)
        for weight, term in ((weights[2], 2), (LINES * weights[2], 1), (BOARD * weights[2], 3))
    ]
    own = _per_deviation(raw, 0, alike, task.copies)
    calling = [(ACCENTS, accents(difference, task.copies))]
    calling += [] if loudness is None else [(LOUD, loudness)]
    for weight, call in calling:
        # In standard deviations of the same sum, so that weights have no unit.
        loud = neutral(np.outer(call, call), task.copies)
        other = _per_deviation(raw, 0, loud, task.copies)
        alike = alike + (weight * other / own) * loud if own else alike
    near, line, blurred, board, *rest = raw.values
    shades_of = shaded[0] * blurred + shaded[1] * line + shaded[2] * board
    mixed = np.stack([spread * near + even * line, shades_of, *rest])
    similarity = np.stack(
        [alike, shade, _too_alike(difference, wanted, too_alike), *(s for _, s in rings)]
    )
    return Objective(
        Pairs(raw.starts, raw.partners, round_weights(mixed)),
        round_similarity(similarity),
        whole_cost(task, cost),
    )


def _per_deviation(pairs: Pairs, term: int, similarity: Floats, copies: Ints) -> float:
    """Return one over a term's deviation, 0 where every layout has the same value."""
    deviation = moments(pairs.sums(term), similarity, copies).deviation
    return 1 / deviation if deviation > 0 else 0.0


def _kernels(task: Task, where: Ground, rings: list[float]) -> list[Kernel]:
    width = max(_BLUR * where.widest(), 1.0)
    if where.count > MOST_DENSE:
        width = min(width, _MOST_BLUR)
    return [
        nearness(where),
        sharing(where),
        blur(where, width),
        checkered(where, task.touch),
        touching(where, task.touch),
        *(within(where, distance) for distance in rings),
    ]


def _rings(copies: Ints) -> list[tuple[float, Floats]]:
    """Return least distances between copies, each with the fabrics it holds for (a diagonal).

    Fabrics are gathered into rings by halving numbers of copies; a ring's
    distance is that of its most frequent fabric.
    """
    n, rings = copies.sum(), []
    halvings = np.floor(np.log2(copies.max() / copies) + 1e-9)
    for step in np.unique(halvings):
        inside = halvings == step
        most = copies[inside].max()
        if most > 1:
            distance = COPIES_APART * float(np.sqrt(n / most))
            rings.append((distance, _TOO_NEAR * np.diag(inside.astype(np.float64))))
    return rings


def _too_alike(difference: Floats, wanted: float, most: float) -> Floats:
    """Return what a contact costs: nothing from t up, half the most just below it.

    Two copies of one fabric cost the same in every style.
    """
    gap = 1 - difference / max(wanted, 1e-9)
    cost = most * np.where(difference < wanted, 0.5 + 0.5 * gap * np.abs(gap), 0.0)
    return np.where(np.eye(len(cost)) > 0, EQUAL_TOUCH, cost)


def whole_cost(task: Task, cost: Floats | None) -> Floats:
    """Return the cost given, or none, and infinity where a fabric must not lie."""
    accepts = task.accepts
    given = np.zeros(accepts.shape) if cost is None else cost
    return np.where(accepts, round_similarity(given), np.inf)

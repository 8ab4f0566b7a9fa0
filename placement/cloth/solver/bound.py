"""How low strips can be in all: column generation, with a bound that is exact.

The linear relaxation over all strips (Gilmore and Gomory 1961, 1965) is solved by
adding the strips that its duals call too valuable. The duals are rounded down to
whole numbers and scaled until no strip is worth more than its height (Farley
(1990), 'A note on bounding a class of linear programming problems', Oper. Res.
38(5), doi:10.1287/opre.38.5.922); what the pieces are then worth in all is a
lower bound in exact arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from placement.cloth.solver.columns import Job, Strip
from placement.cloth.solver.pricing import Ints, Pricing

if TYPE_CHECKING:
    from collections.abc import Sequence

Floats = NDArray[np.float64]

SCALE = 1 << 24
"""Worth of one unit of height."""
_ROUNDS = 200


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The linear relaxation of a job."""

    worth: Ints
    """What a piece of each kind is worth, so that no strip is worth more than its height."""
    floor: int
    """What all pieces wanted are worth: no strips are lower in all, units x SCALE."""
    strips: tuple[Strip, ...]
    """Strips that the relaxation was solved with."""
    use: Floats
    """How often each of them is cut in it."""


def relax(job: Job, pricing: Pricing, start: Sequence[Strip]) -> Relaxed:
    """Solve the relaxation, starting from strips that give every piece that fits."""
    pool = dict.fromkeys(start)
    counts = wanted(job)
    floor = 0
    worth = np.zeros(len(job.kinds), dtype=np.int64)
    heights = [int(h) for h in pricing.heights]
    for _ in range(_ROUNDS):
        strips_known = tuple(pool)
        duals, value, use = _master(job, strips_known, counts)
        priced = np.floor(np.maximum(duals, 0) * SCALE).astype(np.int64)
        values, strips = pricing.strips(priced)
        ratio = max(Fraction(int(v), h * SCALE) for v, h in zip(values, heights, strict=True))
        ratio = max(ratio, Fraction(1, SCALE))
        scaled = np.array([int(int(price) / ratio) for price in priced], dtype=np.int64)
        if counts @ scaled > floor:
            floor, worth = int(counts @ scaled), scaled
        added = [s for s, v in zip(strips, values, strict=True)
                 if v > s.height * SCALE and s not in pool]  # fmt: skip
        if not added or -(-floor // SCALE) >= value - 1e-6:
            break
        pool.update(dict.fromkeys(added))
    return Relaxed(worth, floor, strips_known, use)


def wanted(job: Job) -> Ints:
    """Return how many pieces of each kind to cut; none of a kind that fits no way round."""
    homeless = job.homeless
    counts = [0 if at in homeless else kind.count for at, kind in enumerate(job.kinds)]
    return np.array(counts, dtype=np.int64)


def contents(job: Job, strips: Sequence[Strip]) -> Ints:
    """Return pieces of each kind (rows) in each strip (columns)."""
    found = np.zeros((len(job.kinds), len(strips)), dtype=np.int64)
    for at, strip in enumerate(strips):
        for kind, number in strip.kinds(job).items():
            found[kind, at] = number
    return found


def _master(job: Job, strips: Sequence[Strip], counts: Ints) -> tuple[Floats, float, Floats]:
    cost = [strip.height for strip in strips]
    solved = linprog(cost, A_ub=-contents(job, strips), b_ub=-counts, method="highs")
    return -solved.ineqlin.marginals, float(solved.fun), solved.x

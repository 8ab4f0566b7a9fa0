"""Whole strips from the relaxation: fix what it is sure of, relax the rest anew, and so on.

Diving with column generation: strips are cut as often as the relaxation says in
full, and what is still wanted is a smaller job of its own, for which strips are
generated that fit it. When nothing is full any more, the strip nearest to it is
cut once (residual rounding as in Belov and Scheithauer (2006), 'A
branch-and-cut-and-price algorithm for one-dimensional stock cutting and
two-dimensional two-stage cutting', Eur. J. Oper. Res. 171(1); from memory).
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from placement.cloth.solver.bound import Relaxed, relax, wanted
from placement.cloth.solver.columns import Job, Strip
from placement.cloth.solver.pricing import Pricing

if TYPE_CHECKING:
    from collections.abc import Sequence

_NEARLY = 1e-6
"""HiGHS answers in floats: a number of strips this close to a whole one is meant as it."""


def dive(job: Job, relaxed: Relaxed, limit: int) -> tuple[Strip, ...]:
    """Return strips that give every piece, or the first of them once they are too high.

    Parameters
    ----------
    job : Job
        What is wanted.
    relaxed : Relaxed
        Its relaxation, without stacking.
    limit : int
        Strips this high in all are not worth having, units.
    """
    rest = Counter({at: int(count) for at, count in enumerate(wanted(job)) if count})
    taken: list[Strip] = []
    strips, use = list(relaxed.strips), relaxed.use
    while True:
        found = [s for s, n in zip(strips, use, strict=True) for _ in range(int(n + _NEARLY))]
        found = _fitting(job, found, rest)
        if not found:
            most = max(range(len(strips)), key=lambda at: use[at])
            found = [strips[most]]
            rest -= strips[most].kinds(job)
        taken += found
        if not rest or sum(strip.height for strip in taken) >= limit:
            return tuple(taken)
        left = replace(
            job, kinds=tuple(replace(k, count=rest[at]) for at, k in enumerate(job.kinds))
        )
        known = [strip for strip in strips if strip.kinds(job) <= rest]
        ends = [Strip(lay.height, ((at,),)) for at, lay in enumerate(job.lays) if rest[lay.kind]]
        again = relax(left, Pricing(left, stacking=False), [*known, *ends])
        strips, use = list(again.strips), again.use


def _fitting(job: Job, strips: Sequence[Strip], rest: Counter[int]) -> list[Strip]:
    """Return the strips that give nothing beyond the rest, and take them from it."""
    kept = []
    for strip in strips:
        kinds = strip.kinds(job)
        if kinds <= rest:
            rest -= kinds
            kept.append(strip)
    return kept

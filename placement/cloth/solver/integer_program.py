"""Whole numbers of strips: the lowest plan, or the fullest sheets, from a pool of strips.

Small integer programs solved by HiGHS (scipy.optimize.milp). Budgets are nodes of
its search tree, so that the answer does not depend on the machine's speed; a
limit in seconds is a last safety. HiGHS answers in floats (55.99999): numbers of
strips are rounded and every plan is counted again in whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from placement.cloth.solver.bound import contents, wanted
from placement.cloth.solver.columns import Job, Strip
from placement.cloth.solver.mute_stdout import quiet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.cloth.solver.pricing import Ints

NODES = 30_000
"""Nodes times strips of one integer program."""
_SECONDS = 20.0
"""Last safety against a machine that stalls."""
_SLACK = 1e-4
"""Heights are whole units; a float bound this close to a whole number is meant as it."""

Rows = list[tuple[NDArray[np.float64], float, float]]


@dataclass(frozen=True, slots=True)
class Lowest:
    """What the integer program says."""

    strips: tuple[Strip, ...] | None
    """A plan lower than the limit; None if none was found."""
    bound: int
    """No plan from the pool is lower, units; the limit if there is none below it."""


def lowest(job: Job, pool: Sequence[Strip], limit: int, floor: int, effort: float) -> Lowest:
    """Return the lowest plan from a pool that is below ``limit`` units.

    Parameters
    ----------
    job : Job
        What is wanted.
    pool : Sequence[Strip]
        The strips to choose from.
    limit : int
        A plan this high is known already.
    floor : int
        No plan is lower.
    effort : float
        The search tree's nodes in proportion to the usual.
    """
    height = np.array([strip.height for strip in pool], dtype=np.float64)
    gives, counts = contents(job, pool), wanted(job)
    # Covering rows alone: a row for the height, dense as it is, slows HiGHS and loses its bound.
    rows: Rows = [(row, float(count), np.inf) for row, count in zip(gives, counts, strict=True)]
    solved = _solve(height, rows, effort, _most(gives, counts))
    below = floor if solved.mip_dual_bound is None else ceil(solved.mip_dual_bound - _SLACK)
    bound = min(limit, max(floor, below))
    return Lowest(_counted(job, pool, solved.x, limit), bound)


def _most(gives: Ints, counts: Ints) -> NDArray[np.float64]:
    """Return how often each strip is cut at most: until one alone would give all it can."""
    often = -(-counts[:, None] // np.maximum(gives, 1))
    most: Ints = np.where(gives > 0, often, 0).max(axis=0)
    return most.astype(np.float64)


@dataclass(frozen=True, slots=True)
class Fullest:
    """The fullest sheets that a pool of strips gives."""

    strips: tuple[Strip, ...]
    """They fit the sheets."""
    incomplete: bool
    """Whether strips from the pool that fit can't give every piece."""


def fullest(job: Job, pool: Sequence[Strip], effort: float) -> Fullest:
    """Return strips that leave out the least area of pieces on sheets of limited height.

    Columns of the program: how often each strip is cut, how many pieces of each
    kind are left out, and how many strips of each height lie on each sheet.
    """
    height = job.height or 0
    pool = [strip for strip in pool if strip.height <= height]
    high = sorted({strip.height for strip in pool})
    strips, kinds, slots = len(pool), len(job.kinds), len(high) * job.sheets
    rows: Rows = []
    for kind, (gives, count) in enumerate(zip(contents(job, pool), wanted(job), strict=True)):
        left_out = np.eye(kinds)[kind]
        rows.append((np.concatenate([gives, left_out, np.zeros(slots)]), float(count), np.inf))
    for at, level in enumerate(high):
        cut = [float(strip.height == level) for strip in pool]
        lie = np.tile(-np.eye(len(high))[at], job.sheets)
        rows.append((np.concatenate([cut, np.zeros(kinds), lie]), -np.inf, 0.0))
    for sheet in range(job.sheets):
        lie = np.kron(np.eye(job.sheets)[sheet], np.array(high, dtype=np.float64))
        rows.append((np.concatenate([np.zeros(strips + kinds), lie]), 0.0, float(height)))
    area = [float(kind.width * kind.height) for kind in job.kinds]
    cost = np.concatenate([np.zeros(strips), area, np.zeros(slots)])
    solved = _solve(cost, rows, effort)
    use = np.zeros(strips) if solved.x is None else solved.x[:strips]
    numbers = np.round(use).astype(np.int64)
    chosen = tuple(s for s, n in zip(pool, numbers, strict=True) for _ in range(n))
    proved = solved.mip_dual_bound is not None and solved.mip_dual_bound > 1 - _SLACK
    return Fullest(chosen, bool(proved))


def _solve(
    cost: NDArray[np.float64],
    rows: Rows,
    effort: float,
    most: NDArray[np.float64] | float = np.inf,
) -> Any:
    matrix, low, high = zip(*rows, strict=True)
    with quiet():
        return milp(
            cost,
            constraints=LinearConstraint(np.array(matrix), low, high),
            integrality=np.ones(len(cost)),
            bounds=Bounds(0, most),
            options={
                "node_limit": max(20, int(effort * NODES / len(cost))),
                "time_limit": _SECONDS * max(1.0, effort),
                "mip_rel_gap": 0.0,
                # Few rows and no redundant ones: presolve costs more than it saves.
                "presolve": False,
            },
        )


def _counted(
    job: Job, pool: Sequence[Strip], use: NDArray[np.float64] | None, limit: int
) -> tuple[Strip, ...] | None:
    """Return the strips in use if, in whole numbers, they give every piece below the limit."""
    if use is None:
        return None
    numbers = np.round(use).astype(np.int64)
    if (contents(job, pool) @ numbers < wanted(job)).any():
        return None
    strips = tuple(s for s, n in zip(pool, numbers, strict=True) for _ in range(n))
    return strips if sum(strip.height for strip in strips) < limit else None

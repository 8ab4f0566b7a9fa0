"""The lowest strips that give every piece, and a proof of how low they can be.

First plans by the level heuristic, a bound by column generation and a plan by
diving from it, then integer programs over all strips that cost no more than a limit,
first a part of the gap between plan and bound and then all of it. When they
cover it, the plan is proved lowest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from placement.cloth.solver.bound import SCALE, relax
from placement.cloth.solver.columns import Job, Strip
from placement.cloth.solver.diving import dive
from placement.cloth.solver.greedy import first_plans, total, trim
from placement.cloth.solver.integer_program import fullest, lowest
from placement.cloth.solver.patterns import Priced, cheap_strips
from placement.cloth.solver.pricing import Pricing

_STEPS = 20_000
"""Columns tried in one search for strips."""
_POOL = 300
"""Most strips in one integer program."""
_FIRST = 0.06
"""Share of the gap that the first look covers: few strips, most of the gain."""
_HALVINGS = 8
"""How often the limit is halved when it lets in too many strips."""

Aim = Callable[[int], int]
"""Given a plan's height, the greatest height that would be worth having instead."""


def any_lower(height: int) -> int:
    """Aim at any lower plan."""
    return height - 1


@dataclass(frozen=True, slots=True)
class Solved:
    """A plan of strips for a job, before they are shared out over sheets."""

    strips: tuple[Strip, ...]
    """They give every piece that fits the cloth."""
    bound: int
    """No strips of this job are lower in all, units."""


@dataclass(frozen=True, slots=True)
class Filled:
    """The fullest sheets found."""

    strips: tuple[Strip, ...]
    """Strips that fit the sheets."""
    short: bool
    """Whether it is proved that not all pieces fit."""


def solve(
    job: Job,
    *,
    stacking: bool,
    effort: float = 1.0,
    aim: Aim = any_lower,
    start: Sequence[Strip] = (),
) -> Solved:
    """Return low strips for a job and a lower bound on their height.

    Parameters
    ----------
    job : Job
        What is wanted; at least one piece fits the cloth.
    stacking : bool
        Whether columns may be cut into pieces one above the other.
    effort : float
        Steps and nodes in proportion to the usual.
    aim : Aim
        What is worth looking for; the search stops when there is none.
    start : Sequence[Strip]
        A plan that is known already.
    """
    closing = _Closing(job, stacking, effort, start)
    # Stacks begin from a plan without them: diving anew has not been seen to lower it.
    if not stacking and closing.bound < closing.height:
        closing.dive()
    closing.look(closing.height - 1, _FIRST)
    while closing.bound <= (goal := aim(closing.height)):
        before = closing.height
        if not closing.look(goal, 1) or closing.height == before:
            break
    return Solved(trim(job, closing.plan), closing.bound)


def fill(job: Job, *, stacking: bool, effort: float = 1.0, start: Sequence[Strip] = ()) -> Filled:
    """Return strips that lay the most on the sheets of a job whose height is limited.

    Parameters
    ----------
    job : Job
        What is wanted, from how many sheets of which height.
    stacking, effort, start : bool, float, Sequence[Strip]
        As for ``solve``.
    """
    closing = _Closing(job, stacking, effort, start)
    capacity = (job.height or 0) * job.sheets
    gap = max(0, capacity * SCALE - closing.relaxed.floor)
    pool, covered = closing.strips(gap)
    answer = fullest(job, pool, effort)
    proved = closing.bound > capacity or (covered == gap and answer.incomplete)
    return Filled(trim(job, answer.strips), proved)


class _Closing:
    """Closes the gap between a plan and the bound."""

    def __init__(self, job: Job, stacking: bool, effort: float, start: Sequence[Strip]) -> None:
        plans = [*([tuple(start)] if start else []), *first_plans(job)]
        self.job = job
        self.plan = min(plans, key=total)
        self.effort = effort
        self.most = int(_POOL * effort)
        pricing = Pricing(job, stacking=stacking)
        self.relaxed = relax(job, pricing, [strip for plan in plans for strip in plan])
        self.priced = Priced(pricing, self.relaxed.worth)
        self.bound = self.reachable(self.relaxed.floor)

    @property
    def height(self) -> int:
        """Height of the best plan."""
        return total(self.plan)

    def dive(self) -> None:
        """Take what the relaxation says in whole strips, if that is lower."""
        plan = dive(self.job, self.relaxed, self.height)
        if total(plan) < self.height:
            self.plan = plan

    def reachable(self, height: int) -> int:
        """Round units x SCALE up to the next height that strips can add up to."""
        sums, most = 1, self.height
        for high in self.job.heights:
            reach = high
            while reach <= most:
                sums |= sums << reach
                reach *= 2
        least = -(-height // SCALE)
        above = sums >> least
        return least + (above & -above).bit_length() - 1

    def strips(self, limit: int) -> tuple[tuple[Strip, ...], int]:
        """Return a pool of strips, and the limit up to which it holds all that cost no more."""
        for _ in range(_HALVINGS):
            found = cheap_strips(self.job, self.priced, limit, int(_STEPS * self.effort))
            if found.complete or not limit:
                break
            limit //= 2
        covered = limit if found.complete else -1
        if len(found.strips) > self.most:
            covered = min(covered, found.costs[self.most] - 1)
        return tuple(dict.fromkeys([*found.strips[: self.most], *self.relaxed.strips])), covered

    def look(self, goal: int, share: float) -> bool:
        """Look for a plan no higher than ``goal``; return whether the search was complete.

        Only strips that cost no more than ``share`` of the gap between the bound and
        the goal are tried; fewer, if there are too many of them.
        """
        gap = goal * SCALE - self.relaxed.floor
        if gap < 0:
            self.bound = max(self.bound, min(goal + 1, self.height))
            return True
        pool, covered = self.strips(int(gap * share))
        answer = lowest(self.job, pool, goal + 1, self.bound, self.effort)
        if answer.strips is not None:
            self.plan = answer.strips
        # A plan with a strip that costs more than was covered is at least this high.
        beyond = self.reachable(self.relaxed.floor + covered + 1)
        self.bound = max(self.bound, self.reachable(min(answer.bound, beyond) * SCALE))
        return covered == gap

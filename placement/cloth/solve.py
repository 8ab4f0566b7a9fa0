"""The lowest strips that give every piece, and a proof of how low they can be."""

from __future__ import annotations

from dataclasses import dataclass

from placement.cloth.columns import Job, Strip
from placement.cloth.greedy import first_plans


@dataclass(frozen=True, slots=True)
class Solved:
    """A plan of strips for a job, before they are shared out over sheets."""

    strips: tuple[Strip, ...]
    """They give every piece that fits the cloth."""
    bound: int
    """No strips of this job are lower in all, units."""


def solve(job: Job) -> Solved:
    """Return low strips for a job and a lower bound on their height."""
    return Solved(first_plans(job)[0], area_bound(job))


def area_bound(job: Job) -> int:
    """Return the height that the pieces' area alone needs."""
    fitting = {lay.kind: lay.width * lay.height for lay in job.lays}
    area = sum(size * job.kinds[kind].count for kind, size in fitting.items())
    return -(-area // job.width)

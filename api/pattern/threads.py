"""The quilting threads of a plan, her own and plain ones, judged over all its fabrics."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from palette.thread import Judged, Thread, calm, judge_threads, plain_threads, showy

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from palette.fabric import Fabric


@dataclass(frozen=True, slots=True)
class Threads:
    """All candidates and the two picks among them."""

    judged: tuple[Judged, ...]
    """Her own candidates in their order, then the plain ones."""
    calm: str | None
    """Id of the one that quietens most; None without fabrics."""
    showy: str | None
    """Id of the one that shows on most."""

    def of(self, thread: str) -> Judged | None:
        """Return a candidate by its id; None if there is none of that."""
        return next((entry for entry in self.judged if entry.thread.id == thread), None)


def threads(plan: Plan) -> Threads:
    """Judge every thread over what a line of quilting crosses."""
    own = tuple(
        Thread(swatch.fabric.id, swatch.fabric.name, swatch.fabric.reads_as)
        for swatch in plan.brief.threads
    )
    return _judged(own, tuple(_crossed(plan)))


@lru_cache(maxsize=16)
def _judged(own: tuple[Thread, ...], fabrics: tuple[Fabric, ...]) -> Threads:
    judged = judge_threads((*own, *plain_threads()), fabrics)
    return Threads(judged, calm(judged), showy(judged))


def _crossed(plan: Plan) -> list[Fabric]:
    """Return the fabrics of the quilt's top, each once; a binding and a backing are not quilted."""
    kept = plan.choice.kept if plan.choice else ()
    named = (name for name, use in plan.brief.named() if use not in ("binding", "backing"))
    names = dict.fromkeys((*kept, plan.background, *named))
    return [plan.swatch(name).fabric for name in names if name]

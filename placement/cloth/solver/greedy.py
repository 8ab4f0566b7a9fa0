"""First plans, fast and simple: strips filled from the highest piece down.

The level heuristics of Coffman, Garey, Johnson and Tarjan (1980),
'Performance bounds for level-oriented two-dimensional packing algorithms',
SIAM J. Comput. 9(4), doi:10.1137/0209062, with pieces turned where it helps.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from placement.cloth.solver.columns import Column, Job, Lay, Strip

Choose = Callable[[list[Lay]], Lay]


@dataclass(slots=True)
class _Open:
    """A strip that is still being filled."""

    height: int
    free: int
    columns: list[Column] = field(default_factory=list)


def first_plans(job: Job) -> list[tuple[Strip, ...]]:
    """Return plans that lay every piece that fits the cloth, the lowest first."""
    return sorted([fill(job, _lowest), fill(job, _highest), by_size(job)], key=total)


def _lowest(ways: list[Lay]) -> Lay:
    return min(ways, key=lambda lay: lay.height)


def _highest(ways: list[Lay]) -> Lay:
    return max(ways, key=lambda lay: lay.height)


def total(strips: Sequence[Strip]) -> int:
    """Return the height of all strips together, units."""
    return sum(strip.height for strip in strips)


def _ways(job: Job, kind: int) -> list[Lay]:
    return [lay for lay in job.lays if lay.kind == kind]


def fill(job: Job, choose: Choose) -> tuple[Strip, ...]:
    """Lay pieces highest first, each in the first strip with room, turned if only that fits."""
    chosen = [(choose(_ways(job, kind)), kind) for kind in _fitting(job)]
    chosen.sort(key=lambda pair: (-pair[0].height, -pair[0].width))
    open_strips: list[_Open] = []
    for lay, kind in chosen:
        for _ in range(job.kinds[kind].count):
            _place(job, lay, _ways(job, kind), open_strips)
    return tuple(Strip(strip.height, tuple(strip.columns)) for strip in open_strips)


def _fitting(job: Job) -> list[int]:
    return sorted({lay.kind for lay in job.lays})


def _place(job: Job, lay: Lay, ways: list[Lay], strips: list[_Open]) -> None:
    for strip in strips:
        fits = [w for w in ways if w.height <= strip.height and w.width <= strip.free]
        if fits:
            _put(job, min(fits, key=lambda w: w.width), strip)
            return
    strips.append(_Open(lay.height, job.width))
    _put(job, lay, strips[-1])


def _put(job: Job, lay: Lay, strip: _Open) -> None:
    strip.columns.append((job.lays.index(lay),))
    strip.free -= lay.width


def by_size(job: Job) -> tuple[Strip, ...]:
    """Give every size strips of its own, as handbook arithmetic does."""
    strips = []
    for kind in _fitting(job):
        ways = _ways(job, kind)
        lay = min(ways, key=lambda way: _own_height(job, way))
        column = (job.lays.index(lay),)
        most = job.width // lay.width
        left = job.kinds[kind].count
        while left > 0:
            strips.append(Strip(lay.height, (column,) * min(most, left)))
            left -= most
    return tuple(strips)


def _own_height(job: Job, lay: Lay) -> int:
    return -(-job.kinds[lay.kind].count // (job.width // lay.width)) * lay.height


def trim(job: Job, strips: Sequence[Strip]) -> tuple[Strip, ...]:
    """Drop pieces beyond the counts wanted, the highest strips' first, and lower the strips."""
    surplus = Counter[int]()
    for strip in strips:
        surplus.update(strip.kinds(job))
    for index, kind in enumerate(job.kinds):
        surplus[index] -= kind.count
    kept: list[Strip] = []
    for strip in sorted(strips, key=lambda strip: -strip.height):
        columns = [_without(job, column, surplus) for column in strip.columns]
        columns = [column for column in columns if column]
        if len(columns) == 1:
            # One column alone is no stack: each of its pieces is a strip of its own.
            kept.extend(Strip(job.lays[lay].height, ((lay,),)) for lay in columns[0])
        elif columns:
            tallest = max(job.column_height(column) for column in columns)
            # A stack does not set a strip's height: bounds hold for the heights of pieces.
            height = min(high for high in job.heights if high >= tallest)
            kept.append(Strip(height, tuple(columns)))
    return tuple(kept)


def _without(job: Job, column: Column, surplus: Counter[int]) -> Column:
    kept = []
    for lay in column:
        kind = job.lays[lay].kind
        if surplus[kind] > 0:
            surplus[kind] -= 1
        else:
            kept.append(lay)
    return tuple(kept)

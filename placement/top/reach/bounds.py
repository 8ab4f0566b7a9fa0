"""Why neighbours can't differ more: bounds that need counting only, each with its cause.

Every function returns the lowest bound its argument proves, or None when it
proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import networkx as nx
import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import (
    connected_components,
    maximum_bipartite_matching,
    minimum_spanning_tree,
)

from placement.top.reach.clique import heavy_clique
from placement.top.reach.task import Bools, Task, highest
from placement.top.request import Cause, CauseKind

if TYPE_CHECKING:
    from collections.abc import Collection


@dataclass(frozen=True, slots=True)
class Bound:
    """A level no layout passes, and why."""

    level: int
    """The best that is left."""
    cause: Cause
    """Why, with the caller's numbers of fabrics and cells."""


def counting_bounds(task: Task) -> list[Bound]:
    """Return what counting proves, simplest explanation first; there must be edges."""
    arguments = (_groups, _crowd, _sides, _choosy)
    return [bound for argument in arguments if (bound := argument(task)) is not None]


def most_apart(task: Task) -> int:
    """Return the size of the largest set of cells of which no two touch (Koenig, 1931)."""
    first, second = task.edges.T
    left = np.where(task.side[first] == 0, first, second)
    right = np.where(task.side[first] == 0, second, first)
    count = len(task.cells)
    links = csr_array((np.ones(len(left), dtype=np.int8), (left, right)), shape=(count, count))
    matched = maximum_bipartite_matching(links, perm_type="column")
    return count - int((matched >= 0).sum())


def numbers(task: Task, members: Collection[int]) -> tuple[int, ...]:
    """Return the caller's numbers of fabrics, ascending."""
    return tuple(sorted(int(task.fabrics[f]) for f in members))


def _groups(task: Task) -> Bound | None:
    """Fabrics that fall apart into groups: somewhere two groups must meet.

    The weakest link of a tree that joins all fabrics by the largest differences.
    """
    if task.parts > 1 or len(task.fabrics) < 2:
        return None
    span = len(task.values)
    tree = minimum_spanning_tree(csr_array(np.triu(span - task.levels, 1))).tocoo()
    level = span - int(tree.data.max())
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(len(task.fabrics)))
    strong = span - tree.data > level
    graph.add_edges_from(zip(tree.row[strong].tolist(), tree.col[strong].tolist(), strict=True))
    group = min(nx.connected_components(graph), key=lambda part: (len(part), min(part)))
    kind = CauseKind.ALONE if len(group) == 1 else CauseKind.GROUP
    return Bound(level, Cause(kind, float(task.values[level]), numbers(task, group)))


def _crowd(task: Task) -> Bound | None:
    """Fabrics all alike, with more copies than cells can lie apart."""
    room = most_apart(task)
    found: dict[int, list[int]] = {}

    def possible(level: int) -> bool:
        crowd = heavy_clique(task.levels < level, task.copies, room)
        if crowd is not None:
            found[level] = crowd
        return crowd is None

    level = highest(task, possible)
    if level + 1 not in found:
        return None
    crowd = found[level + 1]
    within = task.values[task.levels[np.ix_(crowd, crowd)].max()]
    cause = Cause(
        CauseKind.COPIES if len(crowd) == 1 else CauseKind.CROWD,
        float(within),
        numbers(task, crowd),
        copies=int(task.copies[crowd].sum()),
        room=room,
        cells=len(task.cells),
    )
    return Bound(level, cause)


def _sides(task: Task) -> Bound | None:
    """Two families that may touch only each other must fill the layout's two sides."""
    if task.parts > 1:
        return None
    halves = (int((task.side == 0).sum()), int((task.side == 1).sum()))
    families: dict[int, list[int]] = {}

    def possible(level: int) -> bool:
        may_touch = task.levels >= level
        if connected_components(csr_array(may_touch), directed=False)[0] > 1:
            return False
        family = _family(may_touch)
        if not family or int(task.copies[family].sum()) in halves:
            return True
        families[level] = family
        return False

    level = highest(task, possible)
    if level + 1 not in families:
        return None
    family = families[level + 1]
    cause = Cause(
        CauseKind.CHECKERBOARD,
        float(task.values[level]),
        numbers(task, family),
        copies=int(task.copies[family].sum()),
        cells=len(task.cells),
        sides=(max(halves), min(halves)),
    )
    return Bound(level, cause)


def _family(may_touch: Bools) -> list[int]:
    """Return the smaller of the two families of a connected two-part graph, or nothing.

    In two copies of the graph, each edge leading to the other copy, a two-part
    graph falls apart into two: one family here and the other there, and the reverse.
    """
    count = len(may_touch)
    twice = csr_array(np.kron([[False, True], [True, False]], may_touch))
    parts, part = connected_components(twice, directed=False)
    if parts < 2:
        return []
    families = [np.flatnonzero(part[:count] == number).tolist() for number in (0, 1)]
    return min(sorted(families), key=len)


def _choosy(task: Task) -> Bound | None:
    """Neighbours that accept few fabrics: the most different pair they can take."""
    masks, kinds = np.unique(task.accepts, axis=0, return_inverse=True)
    choosy = [not mask.all() for mask in masks]
    if not any(choosy):
        return None
    pairs = np.sort(kinds.ravel()[task.edges], axis=1)
    limits = {
        (one, other): int(task.levels[np.ix_(masks[one], masks[other])].max())
        for one, other in {(int(a), int(b)) for a, b in pairs}
        if choosy[one] or choosy[other]
    }
    if not limits:
        return None
    level = min(limits.values())
    worst = min(pair for pair, limit in limits.items() if limit == level)
    found = int(np.flatnonzero((pairs == np.array(worst)).all(axis=1))[0])
    first, second = task.edges[found].tolist()
    takes = [np.flatnonzero(task.accepts[cell]).tolist() for cell in (first, second)]
    accepts = tuple(
        (int(task.cells[cell]), numbers(task, few))
        for cell, few in zip((first, second), takes, strict=True)
        if len(few) < len(task.fabrics)
    )
    culprits = tuple(sorted({fabric for _, few in accepts for fabric in few}))
    value = float(task.values[level])
    return Bound(level, Cause(CauseKind.CHOOSY, value, culprits, accepts=accepts))

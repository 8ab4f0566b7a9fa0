"""The question behind 'how different can neighbours be', stripped to arrays.

Words used here
---------------
task : fabrics with copies onto cells that touch, holes and unused fabrics dropped.
level : an index into the ascending list of all differences between two fabrics.
clash : two fabrics that differ by less than the level asks for; a fabric clashes with itself.
class : fabrics that clash with the same others and may lie in the same cells. They are
    interchangeable, so search and proof see them as one fabric with all their copies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from placement.top.request import Floats, Problem, ProblemKind, RequestError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from placement.top.setting.setting import Setting

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """n cells, E touching pairs and K fabrics that have copies, all numbered from 0."""

    cells: Ints
    """Index into the setting's cells, shape (n,)."""
    edges: Ints
    """Pairs of cells that must differ, shape (E, 2)."""
    touch: str
    """What those pairs share: 'edge', or 'point' when no two cells share an edge."""
    side: Ints
    """Side of each cell, 0 or 1, shape (n,): touching cells are on different ones."""
    parts: int
    """How many parts of the layout don't touch each other."""
    fabrics: Ints
    """The caller's fabric numbers, ascending, shape (K,)."""
    copies: Ints
    """Cells each fabric fills, shape (K,), adding up to n."""
    values: Floats
    """Every difference that occurs, ascending; the first is 0."""
    levels: Ints
    """Index into values of the difference of two fabrics, shape (K, K)."""
    pinned: Ints
    """Fabric that must stay in a cell, -1 where any may lie, shape (n,)."""
    accepts: Bools
    """Which fabric a cell may take, shape (n, K)."""


@dataclass(frozen=True, slots=True, eq=False)
class Classes:
    """A task's fabrics gathered into C interchangeable classes at one level."""

    of: Ints
    """Class of each fabric, shape (K,)."""
    clash: Bools
    """Which classes may not touch, shape (C, C); true on the diagonal."""
    copies: Ints
    """Cells each class fills, shape (C,)."""
    accepts: Bools
    """Which class a cell may take, shape (n, C)."""


def make_task(
    setting: Setting,
    difference: Floats,
    copies: Sequence[int],
    pinned: Mapping[int, int],
    forbidden: Mapping[int, tuple[int, ...]],
    holes: frozenset[int],
) -> Task:
    """Check every argument and number what is left from 0.

    Raises
    ------
    ValueError
        In one sentence, if the arguments don't fit together.
    """
    total = len(setting.cells())
    _check_matrix(difference, len(copies))
    _check_numbers(total, len(copies), pinned, forbidden, holes)
    cells = np.array([cell for cell in range(total) if cell not in holes], dtype=np.int64)
    counts = np.asarray(copies, dtype=np.int64)
    if counts.min(initial=0) < 0 or counts.sum() != len(cells):
        raise ValueError(f"copies must be 0 or more and add up to {len(cells)}, not {copies}")
    fabrics = np.flatnonzero(counts)
    between = np.asarray(difference, dtype=np.float64)[np.ix_(fabrics, fabrics)]
    values, levels = np.unique(np.maximum(between, between.T), return_inverse=True)
    accepts = np.ones((total, len(copies)), dtype=np.bool_)
    stays = np.full(total, -1, dtype=np.int64)
    for cell, barred in forbidden.items():
        accepts[cell, list(barred)] = False
    for cell, fabric in pinned.items():
        if not (accepts[cell, fabric] and counts[fabric]):
            raise RequestError(
                f"fabric {fabric} can't be pinned in cell {cell}: forbidden or unused",
                Problem(ProblemKind.PIN_BARRED, fabric=fabric, cell=cell),
            )
        accepts[cell] = False
        accepts[cell, fabric] = True
        stays[cell] = np.searchsorted(fabrics, fabric)
    edges, touch = _touching(setting, cells, total)
    side, parts = _sides(len(cells), edges)
    return Task(
        cells=cells,
        edges=edges,
        touch=touch,
        side=side,
        parts=parts,
        fabrics=fabrics,
        copies=counts[fabrics],
        values=values,
        levels=levels.reshape(between.shape),
        pinned=stays[cells],
        accepts=accepts[np.ix_(cells, fabrics)],
    )


def _check_matrix(difference: Floats, count: int) -> None:
    if difference.shape != (count, count):
        raise ValueError(f"difference must be {count} x {count}, not {difference.shape}")
    if not np.isfinite(difference).all() or np.any(np.diag(difference) != 0):
        raise ValueError("difference must be finite, and 0 between a fabric and itself")
    if not np.allclose(difference, difference.T, rtol=0, atol=1e-6):
        raise ValueError("difference must be the same both ways; it is not symmetric")
    if difference.min(initial=0) < 0:
        raise ValueError(f"a difference can't be negative: {difference.min()}")


def _check_numbers(
    cells: int,
    fabrics: int,
    pinned: Mapping[int, int],
    forbidden: Mapping[int, tuple[int, ...]],
    holes: frozenset[int],
) -> None:
    for cell in (*pinned, *forbidden, *holes):
        if not 0 <= cell < cells:
            raise ValueError(f"cell {cell} does not exist; there are {cells} cells")
    for cell in pinned:
        if cell in holes:
            raise ValueError(f"cell {cell} is a hole and can't hold a pinned fabric")
    for fabric in (*pinned.values(), *(f for barred in forbidden.values() for f in barred)):
        if not 0 <= fabric < fabrics:
            raise ValueError(f"fabric {fabric} does not exist; there are {fabrics} fabrics")


def _touching(setting: Setting, cells: Ints, total: int) -> tuple[Ints, str]:
    place = np.full(total, -1, dtype=np.int64)
    place[cells] = np.arange(len(cells))
    for touch in ("edge", "point"):
        pairs = [
            (place[first], place[second])
            for first, second, shared in setting.graph().edges.data()
            if shared["touch"] == touch and place[first] >= 0 and place[second] >= 0
        ]
        if pairs:
            return np.sort(np.array(pairs, dtype=np.int64), axis=1), touch
    return np.empty((0, 2), dtype=np.int64), "point"


def _sides(count: int, edges: Ints) -> tuple[Ints, int]:
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(edges.tolist())
    colour = nx.bipartite.color(graph)
    side = np.array([colour[cell] for cell in range(count)], dtype=np.int64)
    return side, nx.number_connected_components(graph)


def classes_at(task: Task, level: int) -> Classes:
    """Gather the fabrics that are interchangeable when neighbours must reach a level."""
    clash = task.levels < level
    loose: Bools = task.accepts[task.pinned < 0]
    keys: dict[bytes, int] = {}
    of = np.array(
        [
            keys.setdefault(clash[f].tobytes() + loose[:, f].tobytes(), len(keys))
            for f in range(len(task.fabrics))
        ],
        dtype=np.int64,
    )
    _, first = np.unique(of, return_index=True)
    accepts = task.accepts[:, first]
    held = np.flatnonzero(task.pinned >= 0)
    accepts[held] = False
    accepts[held, of[task.pinned[held]]] = True
    copies = np.bincount(of, weights=task.copies).astype(np.int64)
    return Classes(of, clash[np.ix_(first, first)], copies, accepts)


def deal(task: Task, classes: Classes, layout: Ints, rng: np.random.Generator) -> Ints:
    """Turn a layout of classes into one of fabrics, pinned cells kept."""
    dealt = task.pinned.copy()
    left = task.copies - np.bincount(dealt[dealt >= 0], minlength=len(task.copies))
    for number in range(len(classes.copies)):
        members = np.flatnonzero(classes.of == number)
        places = np.flatnonzero((layout == number) & (task.pinned < 0))
        dealt[places] = rng.permutation(np.repeat(members, left[members]))
    return dealt


def level_of(task: Task, layout: Ints) -> int:
    """Return the least level among touching cells; there must be some."""
    first, second = task.edges.T
    return int(task.levels[layout[first], layout[second]].min())


def highest(task: Task, possible: Callable[[int], bool]) -> int:
    """Return the highest possible level, by bisection: what is impossible stays so above."""
    low, high = 0, len(task.values)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if possible(middle) else (low, middle)
    return low

"""Layouts to start from: any that is allowed, and ones that use the layout's two sides.

Every setting's touching cells make a two-part graph, like the squares of a
checkerboard. Fabrics all alike never touch when they lie on one side.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, maximum_bipartite_matching

from placement.top.reach.task import Ints, Task, highest
from placement.top.request import Problem, ProblemKind, RequestError


def any_layout(task: Task, rng: np.random.Generator) -> Ints:
    """Return a random layout that keeps counts, pins and forbidden fabrics.

    Raises
    ------
    ValueError
        If there is none.
    """
    return _lay(task, rng.permutation(np.repeat(np.arange(len(task.copies)), task.copies)), rng)


def two_part_start(task: Task, rng: np.random.Generator) -> Ints:
    """Return the layout of two families, one a side, that differ most from each other.

    Fabrics joined by small differences stay together; which groups fill one
    side exactly is a subset sum.
    """
    room = int((task.side == 0).sum())
    chosen: dict[int, list[int]] = {}

    def possible(level: int) -> bool:
        groups = _groups(task, level)
        picked = _subset([int(task.copies[group].sum()) for group in groups], room)
        if picked is not None:
            chosen[level] = [fabric for number in picked for fabric in groups[number]]
        return picked is not None

    family = chosen.get(highest(task, possible), [])
    rest = [fabric for fabric in range(len(task.copies)) if fabric not in family]
    return _by_sides(task, [*family, *rest], task.side, rng)


def grown_start(task: Task, level: int, rng: np.random.Generator) -> Ints:
    """Return a layout whose one side was filled by growing a family of fabrics that clash."""
    cells = len(task.cells)
    pull = (task.levels < level) * 2.0 - 1.0
    left = rng.permutation(len(task.copies)).tolist()
    order = [left.pop()]
    drawn = pull[order[0]] - pull @ task.copies / cells
    while left:
        order.append(left.pop(int(np.argmax(drawn[left]))))
        drawn = drawn + 2 * pull[order[-1]] * task.copies[order[-1]] / cells
    return _by_sides(task, order, task.side if rng.random() < 0.5 else 1 - task.side, rng)


def _groups(task: Task, level: int) -> list[list[int]]:
    count, group = connected_components(csr_array(task.levels < level), directed=False)
    return [np.flatnonzero(group == number).tolist() for number in range(count)]


def _subset(sizes: list[int], total: int) -> list[int] | None:
    """Return which sizes add up to the total, if any do."""
    sums = [1]
    for size in sizes:
        sums.append(sums[-1] | sums[-1] << size)
    if not sums[-1] >> total & 1:
        return None
    picked = []
    for number in reversed(range(len(sizes))):
        if not sums[number] >> total & 1:
            picked.append(number)
            total -= sizes[number]
    return picked


def _by_sides(task: Task, order: list[int], side: Ints, rng: np.random.Generator) -> Ints:
    """Fill side 0 by the fabrics that come first, side 1 by the others, each at random."""
    slots = np.repeat(order, task.copies[order])
    room = int((side == 0).sum())
    laid = np.empty(len(slots), dtype=np.int64)
    laid[side == 0] = rng.permutation(slots[:room])
    laid[side == 1] = rng.permutation(slots[room:])
    return _lay(task, laid, rng)


def _lay(task: Task, wanted: Ints, rng: np.random.Generator) -> Ints:
    """Change a wished layout until every cell accepts its fabric.

    Only cells that refuse some fabric are matched to copies; others take what is left.
    """
    picky = np.flatnonzero(~task.accepts.all(axis=1))
    if not len(picky):
        return wanted
    slots = rng.permutation(len(wanted))
    matched = maximum_bipartite_matching(
        csr_array(task.accepts[np.ix_(picky, wanted[slots])]), perm_type="column"
    )
    if np.any(matched < 0):
        short = int(task.cells[picky[matched < 0][0]])
        raise RequestError(
            f"pinned and forbidden fabrics leave nothing for cell {short}; allow it more",
            Problem(ProblemKind.NOTHING_LEFT, cell=short),
        )
    taken = slots[matched]
    layout = wanted.copy()
    layout[picky] = wanted[taken]
    # Cells whose copy was taken get what the picky cells gave up.
    robbed = np.setdiff1d(taken, picky)
    layout[robbed] = wanted[np.setdiff1d(picky, taken)]
    return layout

"""Which blocks to turn half round so that the seams of neighbours nest."""

from __future__ import annotations

import networkx as nx

from placement.top.setting import Setting


def half_turns(setting: Setting, holes: frozenset[int] = frozenset()) -> tuple[int, ...]:
    """Return the cells whose block is turned half round, ascending.

    The neighbours of a setting fall into two sides, and one side is turned: on
    point the blocks between the main rows, straight the odd squares of a
    checkerboard. Blocks that touch only in points (plain blocks between) need
    no turning. A block whose look a half turn changes is named by
    Block.same_when_turned, so that the caller can warn.

    Parameters
    ----------
    setting : Setting
        Cells and who touches whom.
    holes : frozenset of int
        Cells left plain; their seams meet nothing.
    """
    whole = setting.graph()
    graph: nx.Graph[int] = nx.Graph()
    graph.add_edges_from(
        (first, second)
        for first, second, touching in whole.edges(data=True)
        if touching["touch"] == "edge" and not {first, second} & holes
    )
    turned: set[int] = set()
    for part in nx.connected_components(graph):
        sides = nx.bipartite.sets(graph.subgraph(part))
        # One side of each part: that of the main rows stays, whatever the holes cut off.
        turned |= next(side for side in sides if all(_between(setting, cell) for cell in side))
    return tuple(sorted(turned))


def _between(setting: Setting, cell: int) -> bool:
    """Whether a cell is on the side that turns."""
    place = setting.cells()[cell]
    odd = place.row if setting.kind == "on point" else place.row + place.column
    return odd % 2 == 1

"""Which blocks to turn half round so that seams nest.

Seam allowances nest where two blocks meet when they lie to opposite sides.
Blocks pressed alike do so if every other one is turned half round, because a
half turn swaps the sides (common practice; for which pressings it works in
full: the long seams must all lie the same way, or mirror each other).

A half turn leaves the look of a block alone if 180 is in its
``same_when_turned()``. Otherwise turned blocks show: the pattern then
alternates, and a directional print stands on its head in them.
"""

from __future__ import annotations

import networkx as nx

from placement.top.setting import Setting


def half_turns(setting: Setting, holes: frozenset[int] = frozenset()) -> tuple[int, ...]:
    """Return the cells whose block to turn, so that of two sharing an edge one is turned.

    On point these are the rows between the main rows, straight every other
    block like the dark squares of a checkerboard. A part that holes cut off is
    settled by itself, with as few turns as can be. Blocks between plain
    alternate ones share no edge: nothing is turned, as plain blocks have no seams.

    Parameters
    ----------
    setting : the cells and who touches whom.
    holes : cells left as plain background, which have no seams to nest.

    Returns
    -------
    Indices into ``setting.cells()``, ascending.
    """
    sewn: nx.Graph[int] = nx.Graph(
        (first, second)
        for first, second, shared in setting.graph().edges.data()
        if shared["touch"] == "edge" and not holes & {first, second}
    )
    turned: list[int] = []
    for part in nx.connected_components(sewn):
        colour = nx.bipartite.color(sewn.subgraph(part))
        one, other = ([c for c in sorted(part) if colour[c] == side] for side in (0, 1))
        # Of equal sides the one without the first cell, so that the top left stays upright.
        turned += one if (len(one), -one[0]) < (len(other), -other[0]) else other
    return tuple(sorted(turned))

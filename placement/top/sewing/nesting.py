"""Which blocks to turn, or to press by a second plan, so that seams nest.

Seam allowances nest where two blocks meet when they lie to opposite sides.
placement.top.sewing.pressing chooses between turning every other block (half round or a
quarter) and pressing every other one the other way; which these are is found here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from placement.top.setting.setting import Setting


def every_other(setting: Setting, holes: frozenset[int] = frozenset()) -> tuple[int, ...]:
    """Return every other cell, so that of two sharing an edge one is among them.

    On point these are the rows between the main rows, straight every other
    block like the dark squares of a checkerboard. A part that holes cut off is
    settled by itself, with as few cells as can be. Blocks between plain
    alternate ones share no edge: there are none, as plain blocks have no seams.

    Parameters
    ----------
    setting : Setting
        The cells and who touches whom.
    holes : frozenset[int]
        Cells left as plain background, which have no seams to nest.

    Returns
    -------
    tuple[int, ...]
        Indices into ``setting.cells()``, ascending.
    """
    # Loaded with the first graph: the server starts without it.
    import networkx as nx

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

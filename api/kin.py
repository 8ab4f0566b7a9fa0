"""What tells variants of a plan apart, in figures."""

from __future__ import annotations

import re
from collections.abc import Collection

import numpy as np

from api.plan import Plan
from palette.colour import difference


def near_pairs(plan: Plan) -> int:
    """Return how many pairs of blocks with a common edge differ by less than ``limits.clear``.

    The difference is CIEDE2000 between what two fabrics read as; 0 without a layout.
    """
    if plan.layout is None:
        return 0
    fabrics = plan.layout.fabrics
    colour = {swatch.fabric.id: swatch.fabric.reads_as.array() for swatch in plan.brief.swatches}
    graph = plan.layout.setting.graph()
    touching = [
        (fabrics[first], fabrics[second])
        for first, second in graph.edges
        if graph.edges[first, second]["touch"] == "edge"
        and fabrics[first] in colour
        and fabrics[second] in colour
    ]
    if not touching:
        return 0
    one, other = (np.array([colour[pair[side]] for pair in touching]) for side in (0, 1))
    return int((difference(one, other) < plan.brief.limits.clear).sum())


def next_title(title: str, taken: Collection[str]) -> str:
    """Name a variant of a plan after it, with the next number that is free.

    >>> next_title('Orchard', ['Orchard'])
    'Orchard 2'
    >>> next_title('Orchard 2', ['Orchard', 'Orchard 2'])
    'Orchard 3'
    """
    stem = re.sub(r" \d{1,3}$", "", title)
    stem = stem if stem in taken else title
    number = 2
    while f"{stem} {number}" in taken:
        number += 1
    return f"{stem} {number}"

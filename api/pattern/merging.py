"""What merges for colour-blind eyes: blocks side by side, and fabrics with the background."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, difference
from palette.eyes import Eyes, seen_by
from placement.top.setting.layout import EMPTY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from api.pattern.plan import Plan


@dataclass(frozen=True, slots=True)
class Merging:
    """What such eyes see as one, though others do not."""

    eyes: Eyes
    """Whose eyes."""
    side_by_side: tuple[tuple[str, str], ...]
    """Pairs of fabrics in blocks that share an edge."""
    sinking: tuple[str, ...]
    """Chosen fabrics that differ too little from the background."""


def merging(plan: Plan) -> tuple[Merging, ...]:
    """Return what merges for each kind of colour-blind eyes; nothing where nothing does.

    What fabrics read as is compared, as from across the room: they merge where they differ
    by less than the limit of lost fabrics (CIEDE2000) for such eyes and not for others.
    """
    names = plan.choice.kept if plan.choice else ()
    ground = (plan.background,) if plan.background and plan.brief.shows_background else ()
    every = (*names, *ground)
    if len(every) < 2:
        return ()
    lab = np.array([plan.swatch(name).fabric.reads_as.array() for name in every])
    pairs = np.array(list(combinations(range(len(every)), 2)))
    limit = plan.brief.limits.lost
    told = _apart(lab, pairs) >= limit
    beside = _beside(plan)
    found = []
    for eyes in Eyes:
        merged = pairs[told & (_apart(seen_by(lab, eyes), pairs) < limit)]
        both = [(every[a], every[b]) for a, b in merged]
        sinking = tuple(a for a, b in both if b in ground)
        close = tuple(pair for pair in both if frozenset(pair) in beside)
        if sinking or close:
            found.append(Merging(eyes, close, sinking))
    return tuple(found)


def _apart(lab: Floats, pairs: NDArray[np.intp]) -> Floats:
    return difference(lab[pairs[:, 0]], lab[pairs[:, 1]])


def _beside(plan: Plan) -> set[frozenset[str]]:
    """Return the pairs of fabrics that lie in blocks with a common edge."""
    layout = plan.layout
    if layout is None:
        return set()
    edges = (
        frozenset((layout.fabrics[a], layout.fabrics[b]))
        for a, b, met in layout.setting.graph().edges.data()
        if met["touch"] == "edge"
    )
    return {pair for pair in edges if EMPTY not in pair}

"""Independent judge of how a fabric stands on a background, by the limits of a plan.

Defined as in palette.picking.contrast: the reads-as difference, the step in lightness,
and the part of its own area that lies near the background, whose colours and whose
reads-as colour each count.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from palette.colour import Lab
    from palette.fabric import Fabric
    from palette.picking.choice import Limits


@dataclass(frozen=True, slots=True)
class Seen:
    """How a fabric stands on a background."""

    apart: float
    """Reads-as difference, CIEDE2000."""
    near: float
    """Part of its area that lies near the background."""
    lost: bool
    """Whether it is lost as a whole."""
    sinks: bool
    """Whether it can't be used: lost, or near in too large a part."""
    rank: int
    """0 for clear, 1 for soft, 2 for near in too large a part, 3 for lost."""


def how_it_stands(fabric: Fabric, background: Fabric, limits: Limits) -> Seen:
    """Return how a fabric stands on a background under the limits."""
    apart = colours_apart(fabric.reads_as, background.reads_as)
    near = _near(fabric, background, min(limits.near, limits.lost))
    itself = fabric.id == background.id
    sunk = _near(fabric, background, limits.lost)
    lost = itself or (apart < limits.lost and sunk >= limits.camouflage_warn)
    half = near >= limits.camouflage
    light = abs(fabric.reads_as.lightness - background.reads_as.lightness)
    clear = light >= limits.lightness_alone or (apart >= limits.clear and light >= limits.lightness)
    rank = (
        3
        if lost
        else 2
        if half
        else 0
        if clear and near < limits.camouflage_warn and apart >= limits.lost
        else 1
    )
    return Seen(apart, near, lost, lost or half, rank)


def _near(fabric: Fabric, background: Fabric, limit: float) -> float:
    total = 0.0
    shares = sum(part.share for part in fabric.colours)
    grounds = sum(part.share for part in background.colours)
    for part in fabric.colours:
        blended = colours_apart(part.colour, background.reads_as)
        for ground in background.colours:
            if min(blended, colours_apart(part.colour, ground.colour)) < limit:
                total += part.share / shares * ground.share / grounds
    return total


def colours_apart(one: Lab, other: Lab) -> float:
    """Return the CIEDE2000 (kL = 1) of two colours, by scikit-image."""
    from skimage.color import deltaE_ciede2000

    first, second = (np.array([colour.lightness, colour.a, colour.b]) for colour in (one, other))
    return float(deltaE_ciede2000(first, second))

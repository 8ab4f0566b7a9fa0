"""How loud a fabric is: how much its print calls, whatever lies beside it.

Two things make a print loud: its colours differ strongly from each other, and
they are vivid. A black and white stripe is loud by the first alone, so vividness
adds to it and does not replace it; a solid is never loud, it only stands out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.colour import difference

if TYPE_CHECKING:
    from palette.fabric import Fabric

_FULL_CONTRAST = 30.0
"""Contrast inside a print (CIEDE2000) from which on it is as loud as can be: broad black and
white stripes have 50, navy and white 33, a bold floral 20 to 30, tone on tone under 8."""
_FULL_CHROMA = 50.0
"""Mean chroma (CIELAB) of the most vivid cloth: dyes of cotton seldom exceed it as a mean."""


def contrast_inside(fabric: Fabric) -> float:
    """Return how far two points of a cloth, taken blindly, differ on average: CIEDE2000.

    Gini's mean difference over the main colours and their shares; 0 for a solid.
    """
    colours = np.array([part.colour.array() for part in fabric.colours])
    shares = np.array([part.share for part in fabric.colours])
    apart = difference(colours[:, None], colours[None])
    return float(shares @ apart @ shares)


def loudness(fabric: Fabric) -> float:
    """Return how loud a fabric is, from 0 for any solid to 1.

    Contrast inside the print, weighed by how vivid its colours are: a print
    without chroma counts half.
    """
    chroma = sum(
        part.share * float(np.hypot(part.colour.a, part.colour.b)) for part in fabric.colours
    )
    calls = min(1.0, contrast_inside(fabric) / _FULL_CONTRAST)
    return calls * (1 + min(1.0, chroma / _FULL_CHROMA)) / 2

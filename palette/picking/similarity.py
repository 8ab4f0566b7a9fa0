"""How like two fabrics are: from across the room, and close up.

From across the room a fabric is the one colour it reads as; close up it is its
main colours and how much of each there is. The close-up difference is the earth
mover's distance over the colours with CIEDE2000 as ground distance (Rubner,
Tomasi, Guibas 2000, 'The Earth Mover's Distance as a Metric for Image
Retrieval'). CIEDE2000 (kL = 1) bends the triangle inequality a little, so this
is a difference and not quite a metric.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import Floats, difference
from palette.picking.transport import least_work

if TYPE_CHECKING:
    from collections.abc import Sequence

    from palette.fabric import Fabric

Pairs = NDArray[np.intp]


def differences(fabrics: Sequence[Fabric]) -> Floats:
    """Return the reads-as difference of every pair: CIEDE2000, shape (N, N), diagonal 0."""
    lab = reads_as_colours(fabrics)
    first, second = np.triu_indices(len(fabrics), 1)
    return _square(len(fabrics), difference(lab[first], lab[second]))


def closeness(a: Fabric, b: Fabric) -> float:
    """Return the close-up difference of two fabrics: 0 for the same colours in the same shares."""
    return float(pair_closeness((a, b), np.array([[0, 1]]))[0])


def closenesses(fabrics: Sequence[Fabric]) -> Floats:
    """Return the close-up difference of every pair, shape (N, N), diagonal 0."""
    pairs = np.stack(np.triu_indices(len(fabrics), 1), axis=1)
    return _square(len(fabrics), pair_closeness(fabrics, pairs))


def pair_closeness(fabrics: Sequence[Fabric], pairs: Pairs) -> Floats:
    """Return the close-up difference of chosen pairs only.

    Parameters
    ----------
    fabrics : sequence of N fabrics
        The bundle.
    pairs : array of shape (P, 2)
        Places in the bundle.

    Returns
    -------
    array of shape (P,)
        Earth mover's distances in units of CIEDE2000.
    """
    if not len(pairs):
        return np.zeros(0)
    colours, shares = weighted_colours(fabrics)
    first, second = pairs[:, 0], pairs[:, 1]
    ground = difference(colours[first][:, :, None], colours[second][:, None, :])
    return least_work(ground, shares[first], shares[second])


def reads_as_colours(fabrics: Sequence[Fabric]) -> Floats:
    """Return the colours the fabrics read as, shape (N, 3)."""
    return np.array([fabric.reads_as.array() for fabric in fabrics]).reshape(-1, 3)


def weighted_colours(fabrics: Sequence[Fabric]) -> tuple[Floats, Floats]:
    """Return colours (N, K, 3) and shares (N, K) summing to 1, padded with empty shares."""
    most = max(len(fabric.colours) for fabric in fabrics)
    colours, shares = np.zeros((len(fabrics), most, 3)), np.zeros((len(fabrics), most))
    for at, fabric in enumerate(fabrics):
        for k, part in enumerate(fabric.colours):
            colours[at, k], shares[at, k] = part.colour.array(), part.share
    return colours, shares / shares.sum(axis=1, keepdims=True)


def _square(size: int, upper: Floats) -> Floats:
    """Spread the upper triangle over a symmetric matrix with a zero diagonal."""
    square = np.zeros((size, size))
    square[np.triu_indices(size, 1)] = upper
    return square + square.T

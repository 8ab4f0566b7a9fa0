"""How like two fabrics are: from across the room, close up, and in their print.

One difference serves picking, near-twins and neighbours. It has three parts, all
in units of CIEDE2000 (kL = 1):

- *afar*: of the colours two fabrics read as.
- *close up*: the earth mover's distance over their main colours (Rubner, Tomasi,
  Guibas 2000, 'The Earth Mover's Distance as a Metric for Image Retrieval'). Of more
  than five colours the smallest joins its nearest, over and over, until five are left.
- *print*: the root mean square difference of how they change over the cloth
  (palette.fabric.Print), over all distances and directions; the one is turned by eighths
  of a circle to where they differ least, since a block may lie turned.

The whole is sqrt(afar^2 / 2 + close^2 / 2 + print^2). A quilt is seen from across
the room as often as close up, so the two looks count alike, and two solids differ by
exactly their CIEDE2000. The print counts so that, among 124 real cloths, pairs under 5
are shades of one solid or pale on pale, and a paisley and a plaid in the same blacks are
not; `tests/bench/bench_likeness.py` shows such pairs.

CIEDE2000 bends the triangle inequality a little, so this is a difference and not
quite a metric.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import Floats, difference
from palette.fabric import DIRECTIONS, DISTANCES
from palette.picking.transport import least_work

if TYPE_CHECKING:
    from collections.abc import Sequence

    from palette.fabric import Fabric

Pairs = NDArray[np.intp]

_PRINT = 1.0
"""Weight of the print beside the two looks, whose weights add up to 1; see above."""
_MOST_COLOURS = 5
"""Main colours counted close up: 0.1 off on average from all of up to 14, in a tenth of the
time."""


@dataclass(frozen=True, slots=True, eq=False)
class Likeness:
    """How different every two of some fabrics are, each of shape (N, N) with a zero diagonal."""

    afar: Floats
    """From across the room."""
    close: Floats
    """Close up."""
    prints: Floats
    """In their prints."""
    whole: Floats
    """All told."""


def differences(fabrics: Sequence[Fabric]) -> Floats:
    """Return the difference of every pair, shape (N, N), diagonal 0."""
    return likeness(tuple(fabrics)).whole.copy()


@lru_cache(maxsize=16)
def likeness(fabrics: tuple[Fabric, ...]) -> Likeness:
    """Measure how different every two fabrics are, with all parts of it.

    A millionth is far below what eyes or photos tell apart; rounding to it
    gives the same choice on machines whose last bits differ.
    """
    afar, close, prints = afars(fabrics), closenesses(fabrics), print_differences(fabrics)
    whole = np.sqrt((afar**2 + close**2) / 2 + _PRINT * prints**2)
    return Likeness(*(np.round(part, 6) for part in (afar, close, prints, whole)))


def afars(fabrics: Sequence[Fabric]) -> Floats:
    """Return the reads-as difference of every pair: CIEDE2000, shape (N, N), diagonal 0."""
    lab = reads_as_colours(fabrics)
    first, second = np.triu_indices(len(fabrics), 1)
    return _square(len(fabrics), difference(lab[first], lab[second]))


def print_differences(fabrics: Sequence[Fabric]) -> Floats:
    """Return the difference in print of every pair: CIEDE2000, shape (N, N), diagonal 0."""
    each: Floats = np.array([change_of(fabric) for fabric in fabrics])
    change = each.reshape(-1, len(DISTANCES), len(DIRECTIONS))
    least = np.full((len(fabrics), len(fabrics)), np.inf)
    for turn in range(len(DIRECTIONS)):
        turned = np.roll(change, turn, axis=2)
        square = np.square(change[:, None] - turned[None]).mean(axis=(2, 3))
        least = np.minimum(least, square)
    found: Floats = np.sqrt(np.minimum(least, least.T))
    return found


def change_of(fabric: Fabric) -> Floats:
    """Return how a fabric changes over the cloth, shape (5, 4), as in palette.fabric.Print.

    Of a fabric whose print was never measured it is what a print of its colours
    and scale without a direction does.
    """
    if fabric.print is not None:
        return np.array(fabric.print.change)
    colours, shares = weighted_colours([fabric])
    apart = difference(colours[0][:, None], colours[0][None])
    contrast = float(shares[0] @ apart @ shares[0])
    reached = np.minimum(1.0, np.array(DISTANCES) / max(fabric.print_scale, DISTANCES[0]))
    return np.repeat(contrast * reached[:, None], len(DIRECTIONS), axis=1)


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
    heaps = [_close_up(fabric) for fabric in fabrics]
    many = np.array([len(shares) for _, shares in heaps])
    small, large = np.sort(many[pairs], axis=1).T
    found = np.zeros(len(pairs))
    # Few colours are padded to many only within a class, and to a solid all goes one way.
    size = np.where(small == 1, 0, large)
    for low, high in pairwise(_CLASSES):
        some = np.flatnonzero((size >= low) & (size < high))
        for at in range(0, len(some), _AT_ONCE):
            chunk = some[at : at + _AT_ONCE]
            found[chunk] = _works(heaps, pairs[chunk], solid=not low)
    return found


_CLASSES = (0, 1, 4, 5, _MOST_COLOURS + 1)
"""Numbers of main colours that are treated together; 0 stands for pairs with a solid."""
_AT_ONCE = 4000
"""Pairs that are worked out side by side, lest they fill the memory."""


def _works(heaps: Sequence[tuple[Floats, Floats]], pairs: Pairs, *, solid: bool) -> Floats:
    """Return the earth mover's distance of pairs of about as many colours."""
    used, place = np.unique(pairs, return_inverse=True)
    colours, shares = _padded([heaps[at] for at in used])
    first, second = place.reshape(pairs.shape).T
    ground = difference(colours[first][:, :, None], colours[second][:, None, :])
    if solid:
        return np.asarray(np.einsum("pij,pi,pj->p", ground, shares[first], shares[second]))
    return least_work(ground, shares[first], shares[second])


def reads_as_colours(fabrics: Sequence[Fabric]) -> Floats:
    """Return the colours the fabrics read as, shape (N, 3)."""
    return np.array([fabric.reads_as.array() for fabric in fabrics]).reshape(-1, 3)


def weighted_colours(fabrics: Sequence[Fabric]) -> tuple[Floats, Floats]:
    """Return colours (N, K, 3) and shares (N, K) summing to 1, padded with empty shares."""
    return _padded([_heap(fabric) for fabric in fabrics])


def _padded(heaps: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    most = max(len(shares) for _, shares in heaps)
    colours, shares = np.zeros((len(heaps), most, 3)), np.zeros((len(heaps), most))
    for at, (lab, part) in enumerate(heaps):
        colours[at, : len(part)], shares[at, : len(part)] = lab, part
    return colours, shares


def _heap(fabric: Fabric) -> tuple[Floats, Floats]:
    shares = np.array([part.share for part in fabric.colours])
    return np.array([part.colour.array() for part in fabric.colours]), shares / shares.sum()


@lru_cache(maxsize=1024)
def _close_up(fabric: Fabric) -> tuple[Floats, Floats]:
    """Return the main colours of a fabric and their shares, the smallest joined to others."""
    colours, shares = _heap(fabric)
    while len(shares) > _MOST_COLOURS:
        least = int(shares.argmin())
        lab, share = colours[least], shares[least]
        colours, shares = np.delete(colours, least, axis=0), np.delete(shares, least)
        near = int(np.square(colours - lab).sum(axis=1).argmin())
        both = shares[near] + share
        colours[near] = (colours[near] * shares[near] + lab * share) / both
        shares[near] = both
    return colours, shares


def _square(size: int, upper: Floats) -> Floats:
    """Spread the upper triangle over a symmetric matrix with a zero diagonal."""
    square = np.zeros((size, size))
    square[np.triu_indices(size, 1)] = upper
    return square + square.T

"""What a scattered layout promises, and whether it keeps it.

neighbours : no two differ by less than is wanted.
copies : two blocks of one fabric lie at least 0.745 sqrt(n / m) block sides apart (m the
    most copies of any): the square root of 10 for 4 copies on 72 blocks.
evenness : counts in rows, columns, diagonals and quadrants are off fair shares by at most a
    twentieth more than rounding forces.
balance : the centroid of lightness lies within a fiftieth of the half diagonal of the middle.
repeats : at most 14 of 120 contacts repeat a pair of fabrics, beside those that are forced
    because there are more contacts than pairs that may touch.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.objective import COPIES_APART
from placement.top.request import Promise, Style

if TYPE_CHECKING:
    from placement.top.arrange.validation import Ask
    from placement.top.request import Quality

EVENNESS = 0.05
"""The most that counts on lines are off, above what rounding forces and as a part of it."""
BALANCE = 0.02
"""The furthest that the centroid of lightness lies from the middle, in half diagonals."""
_REPEATS = 0.12
"""The part of contacts that may repeat a pair of fabrics: 14 of 120."""
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Promises:
    """The limits of a request's promises."""

    least: float
    """The least difference of neighbours, CIEDE2000."""
    copies_apart: float
    """The least distance of two blocks of one fabric, in block sides."""
    repeats: int
    """The most contacts that repeat a pair of fabrics."""


def promises(made: Ask, least: float) -> Promises:
    """Return what a layout promises whose neighbours are to differ by so much."""
    copies = made.task.copies
    far = COPIES_APART * float(np.sqrt(copies.sum() / copies.max()))
    return Promises(least, far, most_repeats(made, least))


def most_repeats(made: Ask, least: float) -> int:
    """Return how many contacts may repeat a pair of fabrics.

    No more pairs of fabrics can meet than there are contacts, or pairs that
    differ enough.
    """
    difference = made.task.values[made.task.levels]
    pairs = int((difference[np.triu_indices(len(difference), 1)] >= least).sum())
    contacts = len(made.task.edges)
    return int(np.floor(contacts - (1 - _REPEATS) * min(contacts, pairs)))


def broken(made: Ask, quality: Quality) -> tuple[Promise, ...]:
    """Return the promises that a measured layout does not keep; other styles promise nothing."""
    if made.request.style != Style.SCATTERED:
        return ()
    limits = promises(made, quality.wanted)
    several = made.task.copies.max() > 1
    kept = {
        Promise.NEIGHBOURS: quality.closest >= limits.least - _EXACT or not len(made.task.edges),
        Promise.COPIES: not several or quality.copies_apart >= limits.copies_apart - _EXACT,
        Promise.EVENNESS: quality.evenness <= EVENNESS + _EXACT,
        Promise.BALANCE: quality.balance <= BALANCE + _EXACT,
        Promise.REPEATS: quality.repeated_contacts <= limits.repeats,
    }
    return tuple(promise for promise, held in kept.items() if not held)

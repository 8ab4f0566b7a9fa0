"""How far apart two colours are, in words a person knows: one table for the whole program.

Differences are CIEDE2000 with kL = 1. The borders and their reasons:

5
    Textile practice takes CIEDE2000 for reliable up to about here (AATCC EP 14): it is the
    measure of two dyeings of one colour. Such fabrics do the same work in a quilt.
20
    A little over two steps of Munsell value (one is 10 in L*, 8.6 in CIEDE2000), light against
    medium or medium against dark: from here on a fabric is clear on its background
    (`palette.picking.choice.Limits.clear`).
30
    Over three steps: told apart at a glance, more is not asked of neighbours
    (`placement.top.arrange.quality.FAR_ENOUGH`).
"""

from __future__ import annotations

from bisect import bisect_right

from api.wording.english import tenths

BORDERS = (5.0, 20.0, 30.0)
"""Differences from which on the next word holds."""

WORDS = ("hard to tell", "close cousins", "clearly different", "far apart")
"""A word below the first border, one between each two, and one above the last."""


def how_far(difference: float) -> str:
    """Say how far apart two colours are.

    >>> how_far(4.9), how_far(8.6), how_far(20), how_far(47)
    ('hard to tell', 'close cousins', 'clearly different', 'far apart')
    """
    return WORDS[bisect_right(BORDERS, difference)]


def apart(difference: float) -> str:
    """Write a difference to one decimal with the word for it; both agree at the borders.

    >>> apart(8.6), apart(19.97)
    ('8.6 (close cousins)', '19.9 (close cousins)')
    """
    border = next((each for each in BORDERS if difference < each), float("inf"))
    return f"{tenths(difference, border)} ({how_far(difference)})"

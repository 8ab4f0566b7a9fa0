"""Borders of a stack that are not quite level, laid between the fabrics on both sides.

Folded cloth lies as it lies: a border may climb from one end to the other. Once
it is known roughly where each border is, the colours well inside both fabrics
tell, pixel by pixel, to which one a pixel more likely belongs; the straight
line that divides them best is the border.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.colour import Floats

_INSIDE = 0.25
"""Part of a fabric's thickness, at either border, whose colours are not trusted."""
_CLIMB = 0.5
"""Most that a border climbs or falls, part of the thinner fabric beside it."""
_CLIMBS = 25
"""Slants that are tried."""
_RARE = 0.5
"""Pixels added to each count, so that no colour is ruled out."""
_MOST_SURE = 2.0
"""Most that one pixel says, as a natural logarithm of odds."""
_RELUCTANT = 0.15
"""Odds a pixel for leaving a border where it was, at the far end of what is tried."""


def slanted(codes: NDArray[np.int64], borders: Floats) -> Floats:
    """Lay the borders of a stack.

    Parameters
    ----------
    codes : NDArray[np.int64]
        Number of the colour of each pixel of the stack seen straight on, shape (lines, across).
    borders : Floats
        Where fabrics begin and end, part of the height, shape (count + 1,).

    Returns
    -------
    Floats
        The same at the left and the right end, shape (count + 1, 2).
    """
    lines = len(codes)
    rows = np.rint(borders * lines).astype(int)
    found = np.column_stack([borders, borders])
    for number in range(1, len(rows) - 1):
        above, border, below = rows[number - 1 : number + 2]
        found[number] = _laid(codes, int(above), int(border), int(below)) / lines
    return found


def _laid(codes: NDArray[np.int64], above: int, border: int, below: int) -> Floats:
    """Lay one border between the lines where the fabrics beside it begin and end."""
    odds = np.clip(
        np.log(_counts(codes, above, border)) - np.log(_counts(codes, border, below)),
        -_MOST_SURE,
        _MOST_SURE,
    )
    first, last = (above + border) // 2, (border + below) // 2
    across = codes.shape[1]
    sums = np.vstack([np.zeros(across), np.cumsum(odds[codes[first:last]], axis=0)])
    most = _CLIMB * min(border - above, below - border)
    heights = np.arange(len(sums))
    columns = np.arange(across)
    best, ends = -np.inf, np.array([border, border], dtype=np.float64)
    for climb in np.linspace(-most, most, _CLIMBS):
        shift = np.rint(climb * ((columns + 0.5) / across - 0.5)).astype(int)
        at = np.clip(heights[:, None] + shift, 0, len(sums) - 1)
        moved = np.abs(heights + first - border) / max(1, last - first) + abs(climb) / (most + 1)
        gain = sums[at, columns].sum(axis=1) - _RELUCTANT * across * moved
        if gain.max() > best:
            best = float(gain.max())
            ends = first + int(gain.argmax()) + np.array([-climb / 2, climb / 2])
    return ends


def _counts(codes: NDArray[np.int64], start: int, end: int) -> Floats:
    """Share of each colour well inside a fabric, shape (colours,)."""
    rim = int(_INSIDE * (end - start))
    inside = codes[start + rim : max(end - rim, start + rim + 1)]
    counts = np.bincount(inside.ravel(), minlength=int(codes.max()) + 1) + _RARE
    return np.asarray(counts / counts.sum())

"""Where each folded fabric of a stack ends: hardly ever flush with the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage

from palette.photo.quad import Quad

if TYPE_CHECKING:
    from palette.bundle.table import Look, Mask

_ALONG = np.linspace(-0.12, 1.12, 249)
"""Where a fabric is looked at along the stack, and beyond it at either end."""
_ACROSS = np.linspace(0.2, 0.8, 7)
"""Where it is looked at between its borders, clear of the fabrics beside it."""
_INSIDE = (_ALONG > 0) & (_ALONG < 1)
_MIDDLE = (_ALONG > 0.25) & (_ALONG < 0.75)
_SHOWS = 0.5
"""Part of a line, and of the lines of the middle, that is cloth at least."""
_RUN = 3
"""Lines that make an end of cloth at least; fewer are a line of the table."""
_LEAST = 0.7
"""Part of the stack's length that a fabric has at least; what is missing then has the
colours of the table."""


def with_ends(look: Look, strip: Quad, *, beyond: bool = True) -> Quad:
    """Lay the two ends of a fabric where its cloth ends.

    Parameters
    ----------
    look : Look
        The photo.
    strip : Quad
        One fabric of a stack, its ends on those of the stack: its left and right side.
    beyond : bool
        Whether it may end beyond them.

    Returns
    -------
    Quad
        The same as given if the fabric can't be told from the table.
    """
    cloth = _cloth(look, strip) & (beyond | _INSIDE)
    runs = ndimage.binary_opening(cloth, np.ones(_RUN))
    labels, _ = ndimage.label(runs)
    # What lies wholly beyond the stack is none of it.
    mine = np.flatnonzero(np.isin(labels, labels[_INSIDE & runs]) & runs)
    if not runs[_MIDDLE].mean() > _SHOWS or _ALONG[mine[-1]] - _ALONG[mine[0]] < _LEAST:
        return strip
    left, right = _ALONG[mine[[0, -1]]]
    return Quad.of(strip.seen(np.array([[left, 0], [right, 0], [right, 1], [left, 1]])))


def _cloth(look: Look, strip: Quad) -> Mask:
    """Tell for each line across a fabric whether it shows cloth."""
    along, across = np.meshgrid(_ALONG, _ACROSS)
    seen = strip.seen(np.column_stack([along.ravel(), across.ravel()]))
    x, y = np.floor(seen * [look.width, look.height]).astype(int).T
    inside = (x >= 0) & (x < look.width) & (y >= 0) & (y < look.height)
    at = (np.where(inside, y, 0), np.where(inside, x, 0))
    lies = inside & ~look.table[at]
    all_of_it, lit = (
        mask.reshape(along.shape).mean(axis=0) >= _SHOWS for mask in (lies, lies & ~look.shadow[at])
    )
    # What looks like shadow in its middle too is a fabric, not the shadow beside one.
    return np.asarray(lit if lit[_MIDDLE].mean() > _SHOWS else all_of_it)

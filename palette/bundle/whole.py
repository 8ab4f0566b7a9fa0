"""A bundle that lies edge to edge: its outline as a whole."""

from __future__ import annotations

import numpy as np
from scipy import ndimage

from palette.bundle.outline import outline
from palette.bundle.quad import Quad
from palette.bundle.spread import cloth
from palette.bundle.table import Look

_CLOSED = 0.015
"""Half the widest gap that is closed, part of the photo's longer side."""


def whole(look: Look) -> Quad | None:
    """Find the outline of everything that lies on the table, None if there is nothing."""
    mask = np.zeros(look.table.shape, dtype=np.bool_)
    for piece in cloth(look):
        mask[piece.box] |= piece.mask
    reach = max(1, round(_CLOSED * look.width))
    padded = np.pad(mask, reach + 1)
    closed = ndimage.binary_fill_holes(ndimage.binary_closing(padded, iterations=reach))
    labels, count = ndimage.label(closed)
    if not count:
        return None
    largest = labels == np.bincount(labels.ravel())[1:].argmax() + 1
    corners = outline(largest)
    if corners is None:
        return None
    return Quad.of_pixels(corners - reach - 1, look.width, look.height)

"""A bundle that lies edge to edge: its outline as a whole."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from scipy import ndimage

from palette.bundle.outline import outline
from palette.bundle.quad import Quad
from palette.bundle.spread import cloth
from palette.bundle.table import Look, Mask
from palette.colour import Floats

_CLOSED = 0.015
"""Half the widest gap that is closed, part of the photo's longer side."""
_BESIDE = 0.08
"""How far from a seam it is looked at on either side, part of a fabric's side."""
_ALONG = np.linspace(0.2, 0.8, 9)
"""Where along a seam."""
_TOLD = 20.0
"""A seam of fabrics that differ by more than this (Lab) counts no more."""


def whole(look: Look, rows: int = 1, columns: int = 1) -> Quad | None:
    """Find the outline of everything that lies on the table, None if there is nothing.

    A fabric in the colour of a shadow is taken for one, and one that is partly in the
    colour of the table leaves a dent. Of several outlines the one is taken on whose
    seams fabrics differ most, if there are rows and columns.
    """
    lies = np.zeros(look.table.shape, dtype=np.bool_)
    for piece in cloth(look):
        lies[piece.box] |= piece.mask
    found = list(_outlines(look, lies))
    if rows * columns == 1 or not found:
        return found[0] if found else None
    found.extend(_outlines(look, ~look.table))
    told = [_seams(look.lab, quad, rows, columns) for quad in found]
    return found[int(np.argmax(told))]


def _outlines(look: Look, mask: Mask) -> Iterator[Quad]:
    """Outline the largest area of a mask as it is, then with its dents filled."""
    from skimage.morphology import convex_hull_image

    reach = max(1, round(_CLOSED * look.width))
    padded = np.pad(mask, reach + 1)
    closed = ndimage.binary_fill_holes(ndimage.binary_closing(padded, iterations=reach))
    labels, count = ndimage.label(closed)
    if not count:
        return
    largest = labels == np.bincount(labels.ravel())[1:].argmax() + 1
    for shape in (largest, convex_hull_image(largest)):
        corners = outline(shape)
        if corners is not None:
            yield Quad.of_pixels(corners - reach - 1, look.width, look.height)


def _seams(lab: Floats, quad: Quad, rows: int, columns: int) -> float:
    """How much fabrics differ on both sides of the seams that an outline leads to, in Lab."""
    across = _beside(lab, quad, rows, columns, upright=True)
    down = _beside(lab, quad, rows, columns, upright=False)
    return float(np.minimum(np.concatenate([across, down]), _TOLD).mean())


def _beside(lab: Floats, quad: Quad, rows: int, columns: int, *, upright: bool) -> Floats:
    """Differences across all seams that run one way."""
    cells, lines = (rows, columns) if upright else (columns, rows)
    at = np.repeat(np.arange(1, lines), cells * len(_ALONG)) / lines
    along = np.tile((np.arange(cells)[:, None] + _ALONG).ravel() / cells, lines - 1)
    sides = []
    for step in (-_BESIDE / lines, _BESIDE / lines):
        points = np.column_stack([at + step, along] if upright else [along, at + step])
        seen = quad.seen(points) if len(points) else points
        x, y = (np.clip(seen, 0, 1) * [lab.shape[1] - 1, lab.shape[0] - 1]).round().astype(int).T
        sides.append(lab[y, x].reshape(-1, len(_ALONG), 3).mean(axis=1))
    return np.asarray(np.linalg.norm(sides[0] - sides[1], axis=-1))

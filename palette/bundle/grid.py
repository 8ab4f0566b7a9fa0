"""A bundle that lies edge to edge: its outline as a whole."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage

from palette.bundle.gaps import cloth
from palette.bundle.outline import outline, smallest_rectangle
from palette.photo.quad import Quad

if TYPE_CHECKING:
    from palette.bundle.table import Look, Mask
    from palette.colour import Floats

_CLOSED = 0.015
"""Half the widest gap that is closed, part of the photo's longer side."""
_FILLED = 0.75
"""Part of the shape around areas that they fill, at least, to be of one bundle."""
_LEAST = 0.02
"""Area of such a part beside the largest one, at least."""
_BESIDE = 0.08
"""How far from a seam it is looked at on either side, part of a fabric's side."""
_ALONG = np.linspace(0.2, 0.8, 9)
"""Where along a seam."""
_TOLD = 20.0
"""A seam of fabrics that differ by more than this (Lab) counts no more."""


def whole(look: Look) -> Quad | None:
    """Find the outline of everything that lies on the table, None if there is nothing.

    Fabrics in the colours of the table may lie between others and divide them.
    """
    parts = _together(_closed(look, _cloth(look)))
    return _outline(look, parts[0] if len(parts) == 1 else _around(parts)) if parts else None


def whole_grid(look: Look, rows: int, columns: int) -> Quad | None:
    """Find the outline of fabrics in rows and columns, None if there is nothing.

    A fabric in the colour of a shadow is taken for one, and one that is partly in the
    colour of the table leaves a dent. Of several outlines the one is taken on whose
    seams fabrics differ most.
    """
    found: list[Quad] = []
    for mask in (_cloth(look), ~look.table):
        if parts := _together(_closed(look, mask)):
            shapes = (parts[0], _around(parts[:1]), _around(parts))
            found.extend(quad for shape in shapes if (quad := _outline(look, shape)))
    if not found:
        return None
    scores = [_seams(look.lab, quad, rows, columns) for quad in found]
    return found[int(np.argmax(scores))]


def _cloth(look: Look) -> Mask:
    """Mark the cloth, without the shadows that it throws."""
    mask = np.zeros(look.table.shape, dtype=np.bool_)
    for piece in cloth(look):
        mask[piece.box] |= piece.mask
    return mask


def _closed(look: Look, mask: Mask) -> Mask:
    """Close gaps and holes; the mask becomes broader by the reach on each side."""
    reach = _reach(look)
    padded = np.pad(_within(mask), reach)
    return np.asarray(
        ndimage.binary_fill_holes(ndimage.binary_closing(padded, iterations=reach)), dtype=np.bool_
    )


def _within(mask: Mask) -> Mask:
    """Leave out what reaches in from beyond the photo: a floor, feet, scissors."""
    labels, _ = ndimage.label(mask)
    areas = np.bincount(labels.ravel())
    areas[0] = 0
    rim = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    reaching = np.isin(np.arange(len(areas)), rim)
    if reaching[areas.argmax()]:
        return mask  # the bundle itself is cut off
    reaching[0] = True
    return np.asarray(~reaching[labels])


def _reach(look: Look) -> int:
    return max(1, round(_CLOSED * look.width)) + 1


def _together(mask: Mask) -> list[Mask]:
    """Take the largest area of a mask and those others that make one shape with it."""
    labels, count = ndimage.label(mask)
    areas = np.bincount(labels.ravel(), minlength=2)[1:]
    largest = [k for k in np.argsort(-areas) if areas[k] >= _LEAST * areas.max()]
    parts = [labels == largest[0] + 1] if count else []
    for k in largest[1:]:
        more = [*parts, labels == k + 1]
        if sum(part.sum() for part in more) >= _FILLED * _around(more).sum():
            parts = more
    return parts


def _around(parts: list[Mask]) -> Mask:
    """Mark the convex shape around parts."""
    from skimage.morphology import convex_hull_image

    return np.asarray(convex_hull_image(np.any(parts, axis=0)))


def _outline(look: Look, shape: Mask) -> Quad | None:
    down, across = np.nonzero(shape)
    around = smallest_rectangle(np.column_stack([across, down]).astype(np.float64))
    for corners in (outline(shape), around):
        if corners is not None:
            with suppress(ValueError):  # it has no four sides
                return Quad.of_pixels(corners - _reach(look), look.width, look.height)
    return None


def _seams(lab: Floats, quad: Quad, rows: int, columns: int) -> float:
    """How much fabrics differ on both sides of the seams that an outline leads to, in Lab."""
    across = _beside(lab, quad, rows, columns, upright=True)
    down = _beside(lab, quad, rows, columns, upright=False)
    scores = np.minimum(np.concatenate([across, down]), _TOLD)
    return float(scores.mean()) if len(scores) else 0.0


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

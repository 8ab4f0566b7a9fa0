"""A scene as a PNG.

Pieces tile the plane, so every pixel is the mean of the pieces in it, weighted
by how much of it each covers: no background bleeds through where two meet. The
cover and the seam's shade both follow from the distance to the piece's edges.
"""

from __future__ import annotations

from io import BytesIO
from math import ceil, floor, hypot
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from api.drawing.cloth import Lie, lie, load_print
from api.drawing.scene import Material, Scene, Shape, View, check_view
from api.drawing.stitch import STROKES

if TYPE_CHECKING:
    from collections.abc import Mapping

WIDEST = 10_000
"""Pixels across; more would take gigabytes."""

_COMPRESSION = 3
"""Of zlib, for flat colours; higher levels take seconds."""
_RUNS = 3
"""zlib's strategy Z_RLE, for photographs: smaller than level 3, in two thirds of the time."""

Floats = NDArray[np.float32]
Bytes = NDArray[np.uint8]


def png(scene: Scene, pictures: Mapping[str, bytes], view: str, width: int = 2000) -> bytes:
    """Draw a scene as a PNG.

    Parameters
    ----------
    scene : Scene
        What to draw.
    pictures : Mapping[str, bytes]
        JPEG bytes by name; a fabric without its picture is drawn in its flat colour.
    view : str
        'cloth', 'flat' or 'grey'.
    width : int
        Pixels across, 16 to 10,000.

    Raises
    ------
    ValueError
        Naming the view or the width, if there is no such view or the width is out of range.
    """
    kind = check_view(view)
    if not 16 <= width <= WIDEST:
        raise ValueError(f"a picture is 16 to {WIDEST} pixels wide, not {width}")
    image = Image.fromarray(_paint(scene, pictures, kind, width / scene.width))
    out = BytesIO()
    packing = {"compress_type": _RUNS} if kind == "cloth" else {"compress_level": _COMPRESSION}
    image.save(out, "PNG", **packing)
    return out.getvalue()


def _paint(scene: Scene, pictures: Mapping[str, bytes], view: View, scale: float) -> Bytes:
    size = max(1, round(scene.height * scale)), max(1, round(scene.width * scale))
    colours = scene.colours(view)
    textures = _textures(scene, pictures, scale) if view == "cloth" else {}
    total = np.zeros((*size, 3), np.float32)
    weight = np.zeros((*size, 1), np.float32)
    for piece in scene.pieces:
        box = _box(piece, scale, size)
        rows, columns = slice(box[1], box[3]), slice(box[0], box[2])
        depth = _depth(piece, scale, box)
        cover = np.clip(depth + 0.5, 0, 1)[..., None]
        texture = textures.get(piece.fabric)
        paint = (
            np.array(colours.get(piece.fabric, colours[""]), np.float32)
            if texture is None
            else texture.under(piece, scale, box)
        )
        total[rows, columns] += paint * (cover * _shade(depth, view, scale)[..., None])
        weight[rows, columns] += cover
    return np.asarray(np.rint(total / np.maximum(weight, 1e-6)), np.uint8)


def _box(piece: Shape, scale: float, size: tuple[int, int]) -> tuple[int, int, int, int]:
    """Return the pixels a piece may touch: left, top, right, bottom (the last two excluded)."""
    xs = [x * scale for x, _ in piece.points]
    ys = [y * scale for _, y in piece.points]
    height, width = size
    return (
        max(floor(min(xs) - 0.5), 0),
        max(floor(min(ys) - 0.5), 0),
        min(ceil(max(xs) + 0.5), width),
        min(ceil(max(ys) + 0.5), height),
    )


def _depth(piece: Shape, scale: float, box: tuple[int, int, int, int]) -> Floats:
    """Return how far inside the nearest edge each pixel's middle lies, in pixels."""
    x = np.arange(box[0], box[2], dtype=np.float32) + np.float32(0.5)
    y = np.arange(box[1], box[3], dtype=np.float32)[:, None] + np.float32(0.5)
    depth = np.full((y.size, x.size), np.inf, np.float32)
    corners = [(px * scale, py * scale) for px, py in piece.points]
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        length = hypot(x1 - x0, y1 - y0)
        across, down = (y0 - y1) / length, (x1 - x0) / length
        along_y = y * np.float32(down) - np.float32(across * x0 + down * y0)
        np.minimum(depth, x * np.float32(across) + along_y, out=depth)
    return depth


def _shade(depth: Floats, view: View, scale: float) -> Floats:
    """Return what part of the light is left beside the seams."""
    left = np.ones((), np.float32)
    for stroke in STROKES[view]:
        reach = np.float32(stroke.width * scale / 2 + 0.5)
        left = left * (1 - np.float32(stroke.opacity) * np.clip(reach - depth, 0, 1))
    return left


class _Texture:
    """A cloth's picture, shrunk to the drawing's scale so that nothing shimmers."""

    def __init__(self, cloth: Material, picture: bytes, scale: float) -> None:
        image, width, height = load_print(cloth, picture, scale)
        self.pixels: Bytes = np.asarray(image)
        self.shows = width, height
        self.density = image.width / width, image.height / height

    def under(self, piece: Shape, scale: float, box: tuple[int, int, int, int]) -> Bytes:
        """Return the cloth under the pixels of a box, shape (height, width, 3)."""
        a, b, c, d, e, f = self._steps(lie(piece, *self.shows), scale)
        left, top, right, bottom = box
        xs = [a * x + b * y + c for x in (left, right) for y in (top, bottom)]
        ys = [d * x + e * y + f for x in (left, right) for y in (top, bottom)]
        across = np.arange(floor(min(xs)) - 1, ceil(max(xs)) + 1)
        down = np.arange(floor(min(ys)) - 1, ceil(max(ys)) + 1)
        height, width, _ = self.pixels.shape
        window = self.pixels[_mirrored(down, height)[:, None], _mirrored(across, width)]
        moved = (a, b, a * left + b * top + c - across[0], d, e, d * left + e * top + f - down[0])
        shown = Image.fromarray(window).transform(
            (right - left, bottom - top),
            Image.Transform.AFFINE,
            moved,
            Image.Resampling.BILINEAR,
        )
        return np.asarray(shown)

    def _steps(self, inches: Lie, scale: float) -> Lie:
        """Turn inches to inches into pixels of the drawing to pixels of the picture."""
        across, down = self.density
        a, b, c, d, e, f = inches
        return Lie(
            a * across / scale,
            b * across / scale,
            c * across,
            d * down / scale,
            e * down / scale,
            f * down,
        )


def _mirrored(places: NDArray[np.int64], length: int) -> NDArray[np.int64]:
    """Fold places on an endless cloth back onto its picture: 0 1 2 2 1 0 0 1 ..."""
    folded = places % (2 * length)
    return np.minimum(folded, 2 * length - 1 - folded)


def _textures(scene: Scene, pictures: Mapping[str, bytes], scale: float) -> dict[str, _Texture]:
    return {
        cloth.id: _Texture(cloth, pictures[cloth.picture], scale)
        for cloth in scene.cloths
        if cloth.picture in pictures
    }

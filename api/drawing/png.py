"""A scene as a PNG.

Pieces tile the plane, so every pixel is the mean of the pieces in it, weighted
by how much of it each covers: no background bleeds through where two meet. The
cover and the seam's shade both follow from the distance to the piece's edges.
"""

from __future__ import annotations

from math import ceil, floor, hypot, sqrt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from api.drawing.cloth import Lie, lie, load_print
from api.drawing.encode import flat_png, photo_png
from api.drawing.scene import Material, Scene, Shape, View, check_view
from api.drawing.stitch import STROKES

if TYPE_CHECKING:
    from collections.abc import Mapping

WIDEST = 10_000
"""Pixels across; more would take gigabytes."""

_RIM = 3
"""Pixels of cloth beyond a piece that its edges are smoothed with: two, and one for rounding."""

_MOST_PIXELS = 40_000_000
"""A square drawing of the largest width that is asked for over HTTP has fewer."""

Floats = NDArray[np.float32]
Bytes = NDArray[np.uint8]
Box = tuple[int, int, int, int]
"""Left, top, right and bottom in pixels, the last two excluded."""
_BAND = 5_000_000
"""Pixels that are painted at once; a drawing for the screen has fewer."""


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
        Pixels across, 16 to 10,000; of a long strip fewer, so that there are at most 40 million.

    Raises
    ------
    ValueError
        Naming the view or the width, if there is no such view or the width is out of range.
    """
    kind = check_view(view)
    if not 16 <= width <= WIDEST:
        raise ValueError(f"a picture is 16 to {WIDEST} pixels wide, not {width}")
    scale = min(width / scene.width, sqrt(_MOST_PIXELS / (scene.width * scene.height)))
    image = Image.fromarray(_paint(scene, pictures, kind, scale))
    return photo_png(image) if kind == "cloth" else flat_png(image)


def _paint(scene: Scene, pictures: Mapping[str, bytes], view: View, scale: float) -> Bytes:
    size = max(1, round(scene.height * scale)), max(1, round(scene.width * scale))
    colours = scene.colours(view)
    textures = _textures(scene, pictures, scale) if view == "cloth" else {}
    painted = np.empty((*size, 3), np.uint8)
    boxes = [(piece, _box(piece, scale, size)) for piece in scene.pieces]
    high = max(1, _BAND // size[1])
    for top in range(0, size[0], high):
        band = top, min(top + high, size[0])
        here = [
            (piece, (box[0], max(box[1], band[0]), box[2], min(box[3], band[1])))
            for piece, box in boxes
            if box[1] < band[1] and box[3] > band[0]
        ]
        painted[slice(*band)] = _band(here, colours, textures, view, scale, (*band, size[1]))
    return painted


def _band(
    pieces: list[tuple[Shape, Box]],
    colours: Mapping[str, tuple[int, int, int]],
    textures: Mapping[str, _Texture],
    view: View,
    scale: float,
    band: tuple[int, int, int],
) -> Bytes:
    """Paint the rows of a drawing from one to another, so that little is held at once."""
    top, bottom, wide = band
    # A plane a colour: rows of numbers are added faster than triples.
    total = np.zeros((3, bottom - top, wide), np.float32)
    weight = np.zeros((bottom - top, wide), np.float32)
    for piece, box in pieces:
        rows, columns = slice(box[1] - top, box[3] - top), slice(box[0], box[2])
        depth = _depth(piece, scale, box)
        cover = np.clip(depth + np.float32(0.5), 0, 1)
        weight[rows, columns] += cover
        cover *= _shade(depth, view, scale)
        texture = textures.get(piece.fabric)
        paint = (
            np.array(colours.get(piece.fabric, colours[""]), np.float32)[:, None, None]
            if texture is None
            else texture.under(piece, scale, box)
        )
        total[:, rows, columns] += paint * cover
    np.divide(total, np.maximum(weight, 1e-6, out=weight), out=total)
    return np.rint(total, out=total).astype(np.uint8).transpose(1, 2, 0)


def _box(piece: Shape, scale: float, size: tuple[int, int]) -> Box:
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


def _depth(piece: Shape, scale: float, box: Box) -> Floats:
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
        wide = np.pad(self.pixels, ((_RIM, _RIM), (_RIM, _RIM), (0, 0)), "symmetric")
        self._wide = Image.fromarray(wide)

    def under(self, piece: Shape, scale: float, box: Box) -> Bytes:
        """Return the cloth under the pixels of a box, shape (3, height, width)."""
        a, b, c, d, e, f = self._steps(lie(piece, *self.shows), scale)
        left, top, right, bottom = box
        corners = [(x * scale, y * scale) for x, y in piece.points]
        source, across, down = self._window(
            [a * x + b * y + c for x, y in corners], [d * x + e * y + f for x, y in corners]
        )
        moved = (a, b, a * left + b * top + c - across, d, e, d * left + e * top + f - down)
        shown = source.transform(
            (right - left, bottom - top),
            Image.Transform.AFFINE,
            moved,
            Image.Resampling.BILINEAR,
        )
        return np.asarray(shown).transpose(2, 0, 1)

    def _window(self, xs: list[float], ys: list[float]) -> tuple[Image.Image, int, int]:
        """Return cloth that reaches beyond some of its points, and where its corner lies."""
        left, top = floor(min(xs)) - _RIM, floor(min(ys)) - _RIM
        right, bottom = ceil(max(xs)) + _RIM, ceil(max(ys)) + _RIM
        height, width, _ = self.pixels.shape
        if left >= -_RIM and top >= -_RIM and right <= width + _RIM and bottom <= height + _RIM:
            return self._wide, -_RIM, -_RIM
        rows, columns = _mirrored(np.arange(top, bottom), height), np.arange(left, right)
        window = self.pixels[rows[:, None], _mirrored(columns, width)]
        return Image.fromarray(window), left, top

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
        if cloth.picture in pictures and scene.pattern_shows(cloth)
    }

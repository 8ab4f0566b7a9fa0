"""How cloth lies under a piece: true to scale, each piece cut from another place."""

from __future__ import annotations

from contextlib import suppress
from hashlib import sha256
from io import BytesIO
from math import cos, floor, radians, sin
from threading import Lock
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from cachetools import LRUCache
from PIL import Image

from palette.colour import Floats, light_to_srgb, srgb_to_light
from palette.photo.light import falling_light

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from api.drawing.scene import Material, Point, Shape

TRIM = 0.02
"""Part of a picture left away on each side: photos of cloth often show a frayed or pale rim."""

_USUAL = 500
"""Pixels across that serve drawings of a usual size: half of a stored picture, so all take that."""
_MOST_HALVED = 8
"""How far a JPEG decoder shrinks while it decodes (ISO/IEC 10918-1, 8 x 8 blocks)."""
_MOST_HELD = 96_000_000
"""Bytes of evened pictures kept at hand: 130 fabrics of usual size."""

_LOOK = 160
"""Pixels of the longer side from which the fall of light is told."""

_PLACES = 24
"""Places across and down at which the colour of a photo is compared."""
_DARKEST = 1e-4
"""Light below this is noise."""
_MOST_OWN = 0.5
"""Part of all change of colour that may be the print's own; of cloth of one hue it is less."""
_MOST_DRIFT = 0.05
"""Standard deviation of the drift, natural logarithm; more is a cloth that changes its colour."""

_STEPS = 16_383
"""Steps of light, fine enough that no two shades of eight bits fall together."""

_DECODED = srgb_to_light(np.arange(256) / 255).astype(np.float32)
_ENCODED = np.rint(light_to_srgb(np.arange(_STEPS + 1) / _STEPS) * 255).astype(np.uint8)


class Print(NamedTuple):
    """The good part of a cloth's picture, at the size a drawing needs."""

    image: Image.Image
    """RGB."""
    width: float
    """Inches of cloth it shows across."""
    height: float
    """Inches of cloth it shows down."""


class Evened(NamedTuple):
    """The good part of a picture, evenly lit."""

    image: Image.Image
    """RGB; shared, so never changed."""
    across: int
    """Pixels across of the whole picture as it is stored."""
    down: int
    """Pixels down of the same."""


def load_print(cloth: Material, picture: bytes, density: float) -> Print:
    """Open a cloth's picture, trim it, and shrink it to at most density pixels an inch."""
    even, across, down = evened(picture, round(density * cloth.shows))
    inch = across / cloth.shows
    factor = min(1.0, density / inch)
    keep = 1 - 2 * TRIM
    width, height = across / inch * keep, down / inch * keep
    size = max(1, round(width * inch * factor)), max(1, round(height * inch * factor))
    return Print(even.resize(size, Image.Resampling.HAMMING), width, height)


_evened: LRUCache[tuple[bytes, int], Evened] = LRUCache(
    _MOST_HELD, lambda held: held.image.width * held.image.height * 3
)
_lock = Lock()


def evened(picture: bytes, pixels: int) -> Evened:
    """Return the good part of a picture, evenly lit; a picture is evened once for all its uses.

    Parameters
    ----------
    picture : bytes
        JPEG or PNG.
    pixels : int
        How many pixels across of the whole picture are needed; there may be more, and there are
        fewer if it has fewer.
    """
    with Image.open(BytesIO(picture), formats=("JPEG", "PNG")) as opened:
        across, down = opened.size
        # The decoder halves: few sizes serve all drawings.
        wanted, halved = max(pixels, _USUAL), 1
        while halved < _MOST_HALVED and across >= 2 * halved * wanted:
            halved *= 2
        key = (sha256(picture).digest(), halved)
        with _lock:
            known = _evened.get(key)
        if known is not None:
            return known
        opened.draft("RGB", (across // halved, down // halved))
        ready = opened.convert("RGB")
    wide, high = ready.size
    box = (TRIM * wide, TRIM * high, (1 - TRIM) * wide, (1 - TRIM) * high)
    left, top, right, bottom = (round(edge) for edge in box)
    good = ready.crop((left, top, max(right, left + 1), max(bottom, top + 1)))
    made = Evened(evenly_lit(good), across, down)
    with _lock, suppress(ValueError):  # One that is larger than all room is not kept.
        _evened[key] = made
    return made


def evenly_lit(image: Image.Image) -> Image.Image:
    """Take the fall of light across a photo away, so that repeats of it make no bands.

    So goes a drift of its colour, as where the brighter side is washed out.
    """
    small = image.copy()
    small.thumbnail((_LOOK, _LOOK))
    light = srgb_to_light(np.asarray(small) / 255)
    field = falling_light(light, np.ones(light.shape[:2], np.bool_))
    smooth = _resized(field, image.size)[..., None] * _drift(image)
    even = np.take(_DECODED, np.asarray(image)) / smooth
    steps = np.minimum(even * np.float32(_STEPS), _STEPS).astype(np.uint16)
    return Image.fromarray(np.take(_ENCODED, steps))


def _resized(field: Floats, size: tuple[int, int]) -> NDArray[np.float32]:
    smooth = Image.fromarray(field.astype(np.float32)).resize(size, Image.Resampling.BICUBIC)
    return np.asarray(smooth)


def _drift(image: Image.Image) -> NDArray[np.float32]:
    """Return how the shares of red, green and blue drift across a photo, as a smooth field.

    Shape (height, width, 3), or (1, 1, 1) and 1 where most change of colour is the print's own,
    or so much of it that the cloth itself goes from one colour to another.
    """
    few = image.resize((_PLACES, _PLACES), Image.Resampling.BOX)
    light = np.maximum(srgb_to_light(np.asarray(few) / 255), _DARKEST)
    shares = np.log(light / light.sum(axis=-1, keepdims=True)).reshape(-1, 3)
    change = shares - shares.mean(axis=0)
    y, x = np.mgrid[-1 : 1 : _PLACES * 1j, -1 : 1 : _PLACES * 1j].reshape(2, -1)
    basis = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
    fit = basis @ np.linalg.lstsq(basis, change, rcond=None)[0]
    own = np.square(change - fit).mean()
    if own > _MOST_OWN * np.square(change).mean() or fit.std() > _MOST_DRIFT:
        return np.ones((1, 1, 1), np.float32)
    fields = np.exp(fit).reshape(_PLACES, _PLACES, 3)
    return np.stack([_resized(fields[..., c], image.size) for c in range(3)], axis=-1)


class Lie(NamedTuple):
    """From inches of the drawing to inches of cloth: u = a x + b y + c, v = d x + e y + f.

    The cloth goes on for ever: beyond its picture lies the picture mirrored, so
    that no hard edge shows.
    """

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def cloth(self, x: float, y: float) -> Point:
        """Return the point of the cloth under a point of the drawing."""
        return self.a * x + self.b * y + self.c, self.d * x + self.e * y + self.f


def lie(piece: Shape, width: float, height: float) -> Lie:
    """Lay cloth whose picture shows width x height inches under a piece.

    A piece that fits into the picture is cut from inside it, as with scissors;
    a larger one runs on into the mirrored repeats.
    """
    c, s = cos(radians(piece.grain)), sin(radians(piece.grain))
    across = [c * x + s * y for x, y in piece.points]
    down = [c * y - s * x for x, y in piece.points]
    left = _start(piece.place[0], max(across) - min(across), width) - min(across)
    top = _start(piece.place[1], max(down) - min(down), height) - min(down)
    return Lie(c, s, left, -s, c, top)


def _start(place: float, length: float, room: float) -> float:
    """Return where the cut begins: anywhere it fits, or anywhere at all if it does not."""
    return place * (room - length if length <= room else 2 * room)


def repeats(piece: Shape, width: float, height: float) -> tuple[tuple[int, int], ...]:
    """Return column and row of every repeat of the picture that a piece touches."""
    under = [lie(piece, width, height).cloth(x, y) for x, y in piece.points]
    slack = 1e-9
    columns = _steps([u for u, _ in under], width, slack)
    rows = _steps([v for _, v in under], height, slack)
    return tuple((column, row) for row in rows for column in columns)


def _steps(values: list[float], length: float, slack: float) -> range:
    first = floor(min(values) / length + slack)
    return range(first, max(floor(max(values) / length - slack), first) + 1)

"""A colour told by hand as a fabric: a solid of exactly that colour, and its picture.

The picture is plain weave drawn by rule: threads over and under each other, a
little uneven as spun yarn is. It is quiet enough to be taken for cloth and for
nothing else, and the mean of its light is the colour, so that it reads as that.
"""

from __future__ import annotations

import io
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from palette.colour import Floats, from_srgb, light_to_srgb, parse_hex, srgb_to_light
from palette.fabric import Fabric, Share
from palette.photo.read import Reading

if TYPE_CHECKING:
    from numpy.typing import NDArray

PIXELS = 512
"""Side of the picture."""
_THREAD = 4
"""Pixels a thread is wide."""
_SWING = 7.0
"""Most that the weave lightens or darkens, of 255: seen close up, gone across the room."""
_ENDS = 1.6
"""The same where no lighter or no darker can be shown."""
_STEPS = ([1] + 63 * [4], [1] + 63 * [60])
"""Of the JPEG, lightness and tint: finest for the mean of a block, coarse for tint within it."""
_CLOSE = 0.2
"""Steps of 255 that the mean may be off, to be well inside what rounds to the colour."""
_TRIES = 8


def solid(colour: str, *, id: str, name: str) -> Reading:  # noqa: A002 (the field's name)
    """Make a fabric of exactly one colour, with a picture of plain cloth.

    Parameters
    ----------
    colour : str
        A web colour, such as '#a83e32'.
    id, name : str
        What the fabric is called.

    Returns
    -------
    Reading
        Nothing is unsure about its colour: it was told, and no photo is named.

    Raises
    ------
    ValueError
        If the text is no web colour.
    """
    digits = parse_hex(colour)
    red, green, blue = bytes.fromhex(digits[1:])
    lab = from_srgb(red, green, blue)
    return Reading(Fabric(id, name, lab, (Share(lab, 1.0),)), cloth(digits))


@lru_cache(maxsize=32)
def cloth(colour: str) -> bytes:
    """Draw plain cloth of one colour, '#rrggbb', as a JPEG; equal colours, equal bytes.

    The mean in linear light of the decoded picture rounds to the colour. Only for
    the most vivid colours of a screen, which a JPEG's own colours don't reach, it is
    off by a step of 255.
    """
    wanted = np.frombuffer(bytes.fromhex(colour[1:]), np.uint8).astype(np.float64)
    # Where a channel is at its end, only the rounding of its mean leaves room.
    swing = np.clip(np.minimum(wanted, 255 - wanted), _ENDS, _SWING)
    aim, best, least = wanted.copy(), b"", np.inf
    for _ in range(_TRIES):
        data = _jpeg(aim + swing * _weave()[..., None])
        off = wanted - _mean(data)
        if np.abs(off).max() < least:
            best, least = data, float(np.abs(off).max())
        if least < _CLOSE:
            break
        aim += 0.8 * off
    return best


def _jpeg(values: Floats) -> bytes:
    """Encode sRGB values, shape (h, w, 3), with their colours at full resolution."""
    pixels = np.clip(np.floor(values + _dither()), 0, 255).astype(np.uint8)
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", qtables=_STEPS, subsampling=0)
    return out.getvalue()


def _mean(data: bytes) -> Floats:
    """Return the sRGB, 0 to 255, of the mean light of a picture."""
    with Image.open(io.BytesIO(data)) as image:
        counts = np.reshape(image.convert("RGB").histogram(), (3, 256))
    light = counts @ srgb_to_light(np.arange(256) / 255) / PIXELS**2
    return 255 * light_to_srgb(light)


@lru_cache(maxsize=1)
def _dither() -> Floats:
    """Return what decides which way a value between two steps is rounded, shape (p, p, 3).

    A JPEG rounds the tint of a block of 8 x 8 pixels to whole steps, so that blocks,
    not pixels, must differ for their mean to lie between steps.
    """
    blocks = np.random.default_rng(2).uniform(0, 1, (PIXELS // 8, PIXELS // 8, 3))
    return blocks.repeat(8, axis=0).repeat(8, axis=1)


@lru_cache(maxsize=1)
def _weave() -> Floats:
    """Return plain weave, shape (p, p), from -1 to 1 with mean 0.

    Each thread is lightest along its middle, and darkest where it dives under
    the one that crosses it.
    """
    rng = np.random.default_rng(1)
    crown = np.sin(np.pi * (np.arange(PIXELS) % _THREAD + 0.5) / _THREAD)
    warp, weft = crown * _yarns(rng), crown * _yarns(rng)
    number = np.arange(PIXELS) // _THREAD
    over = (number[:, None] + number[None, :]) % 2 == 0
    top = np.where(over, warp[None, :] * crown[:, None], weft[:, None] * crown[None, :])
    swung: Floats = (top - top.mean()) / np.abs(top - top.mean()).max()
    return swung


def _yarns(rng: np.random.Generator) -> NDArray[np.float64]:
    """Return how light each column of threads is: yarns differ, and neighbours differ least."""
    own = rng.normal(1, 0.12, PIXELS // _THREAD)
    slow = np.convolve(rng.normal(0, 0.25, PIXELS // _THREAD + 8), np.ones(9) / 9, "valid")
    return np.repeat(own + slow, _THREAD)

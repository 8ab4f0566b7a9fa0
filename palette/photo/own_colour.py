"""A fabric in a colour told by hand, in place of the one that its photo shows."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from palette.colour import (
    Floats,
    Lab,
    lab_to_light,
    light_to_lab,
    light_to_srgb,
    parse_hex,
    srgb_to_light,
)

if TYPE_CHECKING:
    from palette.fabric import Share
    from palette.photo.read import Reading

_DARKEST = 0.002
"""Light that a photo is taken to show at least: darker is its noise."""


def in_own_colour(reading: Reading, colour: str) -> Reading:
    """Give a fabric the colour that it is told to read as.

    Its main colours and its picture go along by what makes that colour of the one that was read:
    red, green and blue of the light are scaled each on their own. Then the mean of the cloth is the
    colour told, and a print keeps its pattern.

    Parameters
    ----------
    reading : Reading
        The fabric as its photo shows it.
    colour : str
        A web colour, such as '#a83e32'.

    Raises
    ------
    ValueError
        If the text is no colour.
    """
    told = srgb_to_light(np.array([*bytes.fromhex(parse_hex(colour)[1:])]) / 255)
    fabric = reading.fabric
    times = told / np.maximum(_light(fabric.reads_as), _DARKEST)
    own = replace(
        fabric,
        reads_as=Lab.rounded(light_to_lab(told)),
        colours=tuple(_scaled(part, times) for part in fabric.colours),
        warnings=(),
        photo="",
        corrected="none",
    )
    return replace(reading, fabric=own, picture=_picture(reading.picture, times))


def _light(colour: Lab) -> Floats:
    return lab_to_light(np.array([colour.lightness, colour.a, colour.b]))


def _scaled(part: Share, times: Floats) -> Share:
    light = np.clip(_light(part.colour) * times, 0, 1)
    return replace(part, colour=Lab.rounded(light_to_lab(light)))


def _picture(picture: bytes, times: Floats) -> bytes:
    """Scale the light of a picture; each channel by a table of its 256 codes."""
    codes = srgb_to_light(np.arange(256) / 255)[:, None] * times
    table = np.round(light_to_srgb(np.clip(codes, 0, 1)) * 255).astype(np.uint8)
    with Image.open(io.BytesIO(picture)) as opened:
        image = opened.convert("RGB").point(table.T.ravel().tolist())
    out = io.BytesIO()
    image.save(out, "JPEG", quality=88)
    return out.getvalue()

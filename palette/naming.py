"""What a colour is called at a cutting table: a hue, and light or dark, as facts.

Words are made of them in `api.wording.naming`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.colour import Lab


class Hue(StrEnum):
    """What people call a colour, apart from light and dark."""

    BLACK = "black"
    CHARCOAL = "charcoal"
    GREY = "grey"
    PEARL_GREY = "pearl grey"
    WHITE = "white"
    CREAM = "cream"
    BEIGE = "beige"
    PINK = "pink"
    RED = "red"
    WINE = "wine"
    PLUM = "plum"
    ORANGE = "orange"
    BROWN = "brown"
    RUST = "rust"
    YELLOW = "yellow"
    OLIVE = "olive"
    MUSTARD = "mustard"
    GREEN = "green"
    TEAL = "teal"
    AQUA = "aqua"
    BLUE = "blue"
    NAVY = "navy"
    PURPLE = "purple"


class Shade(StrEnum):
    """Whether a colour is said to be light or dark of its hue."""

    LIGHT = "light"
    PLAIN = "plain"
    DARK = "dark"


@dataclass(frozen=True, slots=True)
class ColourName:
    """What a colour is called."""

    hue: Hue
    """Its hue, or the trade's word for it."""
    shade: Shade = Shade.PLAIN
    """Whether light or dark is said before it."""


_GREY = 6.0
"""Chroma below which a colour is called grey, white or black: a cast is not seen across a room."""
_CREAM = 28.0
"""Chroma below which a light warm colour is a cream or a beige and no orange or yellow."""

_RUST = 50.0
"""Chroma from which a brown is so strong that it is called rust."""
_STRONG = 62.0
"""Chroma from which a colour is as light as its hue makes it."""

_NEUTRALS = (
    (12, ColourName(Hue.BLACK)),
    (32, ColourName(Hue.CHARCOAL)),
    (58, ColourName(Hue.GREY)),
    (80, ColourName(Hue.GREY, Shade.LIGHT)),
    (94, ColourName(Hue.PEARL_GREY)),
)
"""Neutral words up to a lightness; lighter is white."""

_HUES = (
    (14, Hue.PINK),
    (46, Hue.RED),
    (83, Hue.ORANGE),
    (110, Hue.YELLOW),
    (166, Hue.GREEN),
    (218, Hue.TEAL),
    (309, Hue.BLUE),
    (336, Hue.PURPLE),
    (360, Hue.PINK),
)
"""Hue words up to a hue angle in degrees of CIELAB, ascending."""

_OWN_WORDS = (
    (Hue.RED, 0, 26, ColourName(Hue.WINE)),
    (Hue.RED, 62, 101, ColourName(Hue.PINK)),
    (Hue.PINK, 0, 40, ColourName(Hue.PLUM)),
    (Hue.ORANGE, 0, 24, ColourName(Hue.BROWN, Shade.DARK)),
    (Hue.ORANGE, 24, 52, ColourName(Hue.BROWN)),
    (Hue.ORANGE, 52, 62, ColourName(Hue.RUST)),
    (Hue.YELLOW, 0, 60, ColourName(Hue.OLIVE)),
    (Hue.YELLOW, 60, 72, ColourName(Hue.MUSTARD)),
    (Hue.TEAL, 80, 101, ColourName(Hue.AQUA)),
    (Hue.BLUE, 0, 24, ColourName(Hue.NAVY)),
)
"""Words the trade has for a hue between two lightnesses."""


def colour_name(colour: Lab) -> ColourName:
    """Name a colour as people at a cutting table would: a hue, and light or dark.

    The borders between words are judgement; they hold for the basic colour
    keywords of CSS Color 4, against which they are tested.

    Parameters
    ----------
    colour : Lab
        The colour.

    Returns
    -------
    ColourName
        What it is called.
    """
    chroma, lightness = hypot(colour.a, colour.b), colour.lightness
    if chroma < _GREY:
        white = ColourName(Hue.WHITE)
        return next((name for most, name in _NEUTRALS if lightness < most), white)
    angle = degrees(atan2(colour.b, colour.a)) % 360
    hue = next(word for most, word in _HUES if angle < most)
    if chroma < _CREAM and 46 <= angle < 115 and lightness > 62:
        return ColourName(Hue.CREAM if lightness > 88 else Hue.BEIGE)
    if chroma < _CREAM and hue == Hue.ORANGE and lightness >= 52:
        return ColourName(Hue.BROWN, Shade.LIGHT)
    if hue == Hue.ORANGE and 42 <= lightness < 52 and chroma >= _RUST:
        return ColourName(Hue.RUST)
    for general, least, most, name in _OWN_WORDS:
        if hue == general and least <= lightness < most:
            return name
    return ColourName(hue, _shade(lightness, chroma))


def _shade(lightness: float, chroma: float) -> Shade:
    """Say light or dark, but not of a colour at its strongest: yellow is light by itself."""
    if lightness > 72 and chroma < _STRONG:
        return Shade.LIGHT
    return Shade.DARK if lightness < 36 and chroma < 2 * _STRONG else Shade.PLAIN

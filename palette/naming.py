"""Plain words for a colour, for cloth and thread that nobody has named."""

from __future__ import annotations

from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.colour import Lab

_GREY = 6.0
"""Chroma below which a colour is called grey, white or black: a cast is not seen across a room."""
_CREAM = 28.0
"""Chroma below which a light warm colour is a cream or a beige and no orange or yellow."""

_STRONG = 62.0
"""Chroma from which a colour is as light as its hue makes it."""

_NEUTRALS = ((12, "black"), (32, "charcoal"), (58, "grey"), (80, "light grey"), (94, "pearl grey"))
"""Neutral words up to a lightness; lighter is white."""

_HUES = (
    (14, "pink"),
    (46, "red"),
    (83, "orange"),
    (110, "yellow"),
    (166, "green"),
    (218, "teal"),
    (309, "blue"),
    (336, "purple"),
    (360, "pink"),
)
"""Hue words up to a hue angle in degrees of CIELAB, ascending."""

_OWN_WORDS = (
    ("red", 0, 26, "wine"),
    ("red", 62, 101, "pink"),
    ("pink", 0, 40, "plum"),
    ("orange", 0, 24, "dark brown"),
    ("orange", 24, 52, "brown"),
    ("orange", 52, 62, "rust"),
    ("yellow", 0, 60, "olive"),
    ("yellow", 60, 72, "mustard"),
    ("teal", 80, 101, "aqua"),
    ("blue", 0, 24, "navy"),
)
"""Words the trade has for a hue between two lightnesses."""


def plain_name(colour: Lab) -> str:
    """Name a colour as people at a cutting table would: a hue, and light or dark.

    The borders between words are judgement; they hold for the basic colour
    keywords of CSS Color 4, against which they are tested.

    Examples
    --------
    >>> from palette.colour import Lab
    >>> plain_name(Lab(20, 10, -40)), plain_name(Lab(80, -10, -15)), plain_name(Lab(97, 0, 2))
    ('Navy', 'Light blue', 'White')
    """
    return _words(colour).capitalize()


def _words(colour: Lab) -> str:
    chroma = hypot(colour.a, colour.b)
    if chroma < _GREY:
        return next((word for most, word in _NEUTRALS if colour.lightness < most), "white")
    angle = degrees(atan2(colour.b, colour.a)) % 360
    hue = next(word for most, word in _HUES if angle < most)
    if chroma < _CREAM and 46 <= angle < 115 and colour.lightness > 62:
        return "cream" if colour.lightness > 88 else "beige"
    for name, least, most, word in _OWN_WORDS:
        if hue == name and least <= colour.lightness < most:
            return word
    return f"{_shade(colour.lightness, chroma)}{hue}"


def _shade(lightness: float, chroma: float) -> str:
    """Say light or dark, but not of a colour at its strongest: yellow is light by itself."""
    if lightness > 72 and chroma < _STRONG:
        return "light "
    return "dark " if lightness < 36 and chroma < 2 * _STRONG else ""

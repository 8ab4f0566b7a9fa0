"""Plain words for a colour, for cloth and thread that nobody has named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import capital
from palette.naming import Shade, colour_name

if TYPE_CHECKING:
    from palette.colour import Lab


def plain_name(colour: Lab) -> str:
    """Name a colour as people at a cutting table would.

    >>> from palette.colour import Lab
    >>> plain_name(Lab(20, 10, -40)), plain_name(Lab(80, -10, -15)), plain_name(Lab(97, 0, 2))
    ('Navy', 'Light blue', 'White')
    """
    name = colour_name(colour)
    return capital(name.hue if name.shade == Shade.PLAIN else f"{name.shade} {name.hue}")

"""Plain words for colours, against the colour keywords of CSS."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from PIL import ImageColor

from api.wording.naming import plain_name
from palette.colour import Lab, from_srgb


@pytest.mark.parametrize(
    ("keyword", "word"),
    [
        # CSS Color 4, 6.1 (named colours), as Pillow tabulates them.
        ("black", "black"),
        ("white", "white"),
        ("gray", "grey"),
        ("silver", "grey"),
        ("red", "red"),
        ("yellow", "yellow"),
        ("olive", "olive"),
        ("lime", "green"),
        ("green", "green"),
        ("aqua", "aqua"),
        ("teal", "teal"),
        ("blue", "blue"),
        ("navy", "navy"),
        ("purple", "purple"),
        ("orange", "orange"),
        ("saddlebrown", "brown"),
        ("pink", "pink"),
        ("hotpink", "pink"),
        ("beige", "cream"),
        ("tan", "beige"),
        ("lightblue", "light blue"),
        ("lightgreen", "light green"),
        ("darkred", "dark red"),
        ("darkgreen", "green"),
        ("steelblue", "blue"),
        ("forestgreen", "green"),
        ("mediumorchid", "purple"),
    ],
)
def test_a_keyword_of_css_is_called_by_its_own_word(keyword: str, word: str) -> None:
    rgb = ImageColor.getrgb(keyword)
    assert word in plain_name(from_srgb(*rgb[:3])).casefold()


@pytest.mark.parametrize("angle", range(0, 360, 15))
def test_only_dark_colours_are_called_dark_and_light_ones_light(angle: int) -> None:
    a, b = 40 * cos(radians(angle)), 40 * sin(radians(angle))
    for lightness in range(5, 99):
        name = plain_name(Lab(lightness, a, b))
        assert lightness < 40 or "Dark" not in name
        assert lightness > 60 or "Light" not in name
        assert name[0].isupper()

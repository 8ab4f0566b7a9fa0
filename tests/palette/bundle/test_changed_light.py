"""Fabrics that a hard shadow or a reflection in the table joins are found all the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter

from palette.bundle.find import Lie, find
from palette.colour import light_to_srgb, srgb_to_light
from palette.photo.open import Photo

if TYPE_CHECKING:
    from palette.bundle.result import Found

WIDTH, HEIGHT = 320, 240
TABLE = (96, 82, 70)
DYES = ((168, 62, 50), (84, 120, 52), (70, 96, 160), (204, 160, 48), (170, 90, 150), (60, 150, 150))


def light_of_six() -> tuple[np.ndarray, np.ndarray]:
    """Return six fabrics of 60 pixels in two rows: their light, and which pixels are table."""
    light = np.tile(srgb_to_light(np.array(TABLE) / 255), (HEIGHT, WIDTH, 1))
    bare = np.ones((HEIGHT, WIDTH), dtype=bool)
    for number, dye in enumerate(DYES):
        row, column = divmod(number, 3)
        place = slice(40 + 90 * row, 100 + 90 * row), slice(40 + 90 * column, 100 + 90 * column)
        light[place] = srgb_to_light(np.array(dye) / 255)
        bare[place] = False
    return light, bare


def found_in(light: np.ndarray) -> Found:
    noise = np.random.default_rng(4).normal(0, 2, light.shape)
    codes = np.clip(np.rint(255 * light_to_srgb(light) + noise), 0, 255).astype(np.uint8)
    return find(Photo(Image.fromarray(codes)), Lie("spread"))


def field(top: int, bottom: int, left: int, right: int, blur: float) -> np.ndarray:
    marked = np.zeros((HEIGHT, WIDTH))
    marked[top:bottom, left:right] = 1
    return np.asarray(gaussian_filter(marked, blur))


def six_where_they_lie(found: Found) -> bool:
    middles = np.array([piece.quad.middle for piece in found.pieces]) * [WIDTH, HEIGHT]
    true = [(70 + 90 * column, 70 + 90 * row) for row in range(2) for column in range(3)]
    sides = [piece.quad.sides(WIDTH, HEIGHT) for piece in found.pieces]
    return (
        len(found.pieces) == 6
        and np.abs(middles - true).max() < 3
        and np.abs(np.array(sides) - 60).max() < 4
    )


@pytest.mark.parametrize("veil", [0.1, 0.35])
def test_a_window_reflected_in_the_table_joins_no_fabrics(veil: float) -> None:
    light, bare = light_of_six()
    light += (veil * field(20, 165, 75, 210, 2.5) * bare)[..., None] * [0.95, 1.0, 1.05]
    assert six_where_they_lie(found_in(light))


def test_a_window_reflected_beside_the_fabrics_is_none() -> None:
    light, bare = light_of_six()
    light += (0.3 * field(194, 224, 20, 300, 2.5) * bare)[..., None]
    assert six_where_they_lie(found_in(light))


def test_a_hard_shadow_across_fabrics_joins_them_not() -> None:
    light, _ = light_of_six()
    light *= (1 - 0.55 * field(85, HEIGHT, 60, 200, 1.5))[..., None]
    assert six_where_they_lie(found_in(light))


def test_white_cloth_is_no_reflection() -> None:
    light, _ = light_of_six()
    light[130:190, 130:190] = 0.8
    light[40:100, 130:190] = light[0, 0] + 0.2
    assert six_where_they_lie(found_in(light))

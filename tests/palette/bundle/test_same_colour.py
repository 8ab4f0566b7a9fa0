"""Fabrics of a bundle that are hard to tell from the table or from each other."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image, ImageDraw
from skimage.draw import polygon

from palette.bundle.find import Lie, find
from palette.bundle.outline import outline
from palette.bundle.result import BundleFault
from palette.photo.open import Photo
from tests.bench.intruders import INTRUDERS, intruded

if TYPE_CHECKING:
    from palette.bundle.result import Found

SIZE = (900, 700)
BOXES = [(x, y, x + 150, y + 150) for y in (110, 400) for x in (110, 370, 630)]
SOLIDS = (
    (168, 40, 50),
    (60, 110, 52),
    (70, 96, 160),
    (220, 190, 60),
    (40, 40, 48),
    (190, 120, 190),
)
PALE, DEEP = (196, 170, 140), (120, 84, 56)
"""The two colours of a table."""


def woven(height: int, width: int, share: float, cell: int, seed: int) -> np.ndarray:
    """Return a cloth or a table of two colours, so much of it the deep one, in cells of pixels."""
    cells = np.random.default_rng(seed).random((-(-height // cell), -(-width // cell))) < share
    large = cells.repeat(cell, axis=0).repeat(cell, axis=1)[:height, :width]
    return np.where(large[..., None], DEEP, PALE).astype(np.uint8)


def on(table: np.ndarray, boxes: list[tuple[int, int, int, int]], dyes=SOLIDS) -> Image.Image:
    image = Image.fromarray(table)
    draw = ImageDraw.Draw(image)
    for number, box in enumerate(boxes):
        draw.rectangle(box, fill=dyes[number % len(dyes)])
    return image


def taken(image: Image.Image) -> Photo:
    """Return the photo of it, with noise."""
    noise = np.random.default_rng(5).normal(0, 3, (*SIZE[::-1], 3))
    seen = np.clip(np.rint(np.asarray(image) + noise), 0, 255)
    return Photo(Image.fromarray(seen.astype(np.uint8)))


def furthest_off(found: Found, boxes: list[tuple[int, int, int, int]]) -> float:
    """Tell how far, in pixels, sides found are from the true ones; infinite if one lacks."""
    if len(found.pieces) != len(boxes):
        return np.inf
    points = [piece.quad.array() * SIZE for piece in found.pieces]
    bounds = [np.concatenate([quad.min(axis=0), quad.max(axis=0)]) for quad in points]
    return float(np.abs(np.array(bounds) - boxes).max())


def test_a_print_in_the_colours_of_the_table_is_found_by_its_mean() -> None:
    table = woven(SIZE[1], SIZE[0], 0.25, 6, 1)
    image = on(table, BOXES[:4] + BOXES[5:])
    left, top, *_ = BOXES[4]
    image.paste(Image.fromarray(woven(151, 151, 0.75, 6, 2)), (left, top))
    assert furthest_off(find(taken(image), Lie("spread")), BOXES) < 16


def test_the_table_between_fabrics_is_none() -> None:
    table = woven(SIZE[1], SIZE[0], 0.25, 6, 1)
    boxes = [(x, y, x + 150, y + 150) for y in (140, 390) for x in (110, 310, 630)]
    assert furthest_off(find(taken(on(table, boxes)), Lie("spread")), boxes) < 8


@pytest.mark.parametrize("overlap", [0, 12])
def test_fabrics_that_touch_are_two(overlap: int) -> None:
    boxes = [*BOXES]
    left, top, right, bottom = BOXES[0]
    boxes[1] = (right - overlap, top, right - overlap + 150, bottom)
    found = find(taken(on(np.full((*SIZE[::-1], 3), PALE, np.uint8), boxes)), Lie("spread"))
    boxes[0] = (left, top, right - overlap, bottom)
    assert furthest_off(found, boxes) < 8


def test_three_in_a_row_that_touch_are_three() -> None:
    first = [(110 + 101 * n, 110, 210 + 101 * n, 210) for n in range(3)]
    boxes = first + [(x, y, x + 100, y + 100) for y in (290, 470) for x in (110, 250, 390, 530)]
    found = find(taken(on(np.full((*SIZE[::-1], 3), PALE, np.uint8), boxes)), Lie("spread"))
    assert furthest_off(found, boxes) < 8


def test_one_long_fabric_of_one_colour_stays_one() -> None:
    boxes = [(110, 110, 430, 260), *BOXES[2:]]
    found = find(taken(on(np.full((*SIZE[::-1], 3), PALE, np.uint8), boxes)), Lie("spread"))
    assert furthest_off(found, boxes) < 8


def test_fabrics_joined_by_a_dark_line_come_apart() -> None:
    image = on(np.full((*SIZE[::-1], 3), PALE, np.uint8), BOXES)
    ImageDraw.Draw(image).rectangle((110, 178, 520, 192), fill=(30, 30, 36))
    assert furthest_off(find(taken(image), Lie("spread")), BOXES) < 8


@pytest.mark.parametrize("what", INTRUDERS)
def test_what_reaches_in_from_beyond_the_photo_is_no_fabric(what: str) -> None:
    out = io.BytesIO()
    on(np.full((*SIZE[::-1], 3), PALE, np.uint8), BOXES).save(out, "JPEG", quality=95)
    photo = taken(Image.open(io.BytesIO(intruded(out.getvalue(), what))))
    assert furthest_off(find(photo, Lie("spread")), BOXES) < 8


@pytest.mark.slow
@pytest.mark.parametrize("what", INTRUDERS)
def test_what_reaches_in_is_no_part_of_a_grid(what: str) -> None:
    boxes = [(x, y, x + 150, y + 150) for y in (180, 330) for x in (220, 370, 520)]
    out = io.BytesIO()
    on(np.full((*SIZE[::-1], 3), PALE, np.uint8), boxes).save(out, "JPEG", quality=95)
    photo = taken(Image.open(io.BytesIO(intruded(out.getvalue(), what))))
    assert furthest_off(find(photo, Lie("grid", rows=2, columns=3)), boxes) < 8


@pytest.mark.slow
def test_a_fabric_that_is_mostly_in_the_photo_is_one() -> None:
    boxes = [(0, 110, 110, 260), *BOXES[1:]]
    found = find(taken(on(np.full((*SIZE[::-1], 3), PALE, np.uint8), boxes)), Lie("spread"))
    assert furthest_off(found, boxes) < 8
    assert BundleFault.CUT_OFF in {warning.fault for warning in found.warnings}


@pytest.mark.slow
def test_two_half_size_fabrics_beside_each_other_stay_two() -> None:
    boxes = [(110, 110, 255, 180), (264, 110, 410, 180), *BOXES[2:]]
    found = find(taken(on(np.full((*SIZE[::-1], 3), PALE, np.uint8), boxes)), Lie("spread"))
    assert furthest_off(found, boxes) < 8


def test_a_side_of_a_single_fabric_that_is_frayed_stays_square() -> None:
    corners = np.array([[40.0, 30.0], [140.0, 38.0], [132.0, 138.0], [32.0, 130.0]])
    frayed = corners.copy()
    frayed[1] += [-34, 0]  # much of the upper right corner has the colour of the table
    mask = np.zeros((170, 180), dtype=bool)
    mask[polygon(frayed[:, 1], frayed[:, 0])] = True
    single, free = outline(mask, single=True), outline(mask)
    assert single is not None
    assert free is not None

    def turn(found: np.ndarray) -> float:
        sides = np.roll(found, -1, axis=0) - found
        angles = np.arctan2(sides[:, 1], sides[:, 0]) % (np.pi / 2)
        return float(np.degrees(np.ptp((angles - angles[0] + np.pi / 4) % (np.pi / 2))))

    assert turn(single) < 7 < turn(free)

"""Fabrics of a bundle whose prints have a colour of the table in them."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from palette.bundle.find import Lie, find
from palette.bundle.mend.fragments import Fragment, mended
from palette.photo.open import Photo

SIZE = (900, 700)
TABLE = (150, 110, 70)
BOXES = [(x, y, x + 150, y + 150) for y in (110, 380) for x in (110, 350, 590)]
DYES = ((168, 40, 50), (60, 110, 52), (70, 96, 160), (220, 190, 60), (40, 40, 48), (190, 120, 190))


def photo_of(image: Image.Image) -> Photo:
    noise = np.random.default_rng(5).normal(0, 2, (*SIZE[::-1], 3))
    seen = np.clip(np.rint(np.asarray(image) + noise), 0, 255)
    return Photo(Image.fromarray(seen.astype(np.uint8)))


def laid(table: Image.Image) -> Image.Image:
    draw = ImageDraw.Draw(table)
    for box, dye in zip(BOXES, DYES, strict=True):
        draw.rectangle(box, fill=dye)
    return table


def furthest_off(photo: Photo) -> float:
    """Tell how far, in pixels, the corners found are from the true ones; infinite if one lacks."""
    found = find(photo, Lie("spread")).pieces
    if len(found) != len(BOXES):
        return np.inf
    true = [np.array([(a, b), (c, b), (c, d), (a, d)]) for a, b, c, d in BOXES]
    pairs = zip(found, true, strict=True)
    return max(float(np.abs(piece.quad.array() * SIZE - box).max()) for piece, box in pairs)


@pytest.mark.parametrize("stripe", [18, 25])
@pytest.mark.parametrize("upright", [False, True])
def test_stripes_in_the_colour_of_the_table_are_part_of_the_fabric(
    stripe: int, *, upright: bool
) -> None:
    image = laid(Image.new("RGB", SIZE, TABLE))
    left, top, right, bottom = BOXES[4]
    for at in range(stripe, 150 - 2 * stripe, 2 * stripe):
        box = (
            (left + at, top, left + at + stripe, bottom)
            if upright
            else (left, top + at, right, top + at + stripe)
        )
        ImageDraw.Draw(image).rectangle(box, fill=TABLE)
    assert furthest_off(photo_of(image)) < 8


def test_a_fabric_in_the_colour_of_the_lines_of_a_cutting_mat_is_found() -> None:
    mat = Image.new("RGB", SIZE, (40, 70, 60))
    draw = ImageDraw.Draw(mat)
    for at in range(25, 900, 60):
        draw.line((at, 0, at, 700), fill=(200, 200, 190), width=3)
        draw.line((0, at, 900, at), fill=(200, 200, 190), width=3)
    laid(mat)
    ImageDraw.Draw(mat).rectangle(BOXES[1], fill=(200, 200, 190))
    assert furthest_off(photo_of(mat)) < 8


def block(left: int, top: int, right: int, bottom: int) -> Fragment:
    mask = np.zeros((300, 400), dtype=bool)
    mask[top:bottom, left:right] = True
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)], dtype=float)
    return Fragment(mask, corners)


def test_whole_pieces_stay_as_they_are() -> None:
    pieces = [block(20, 20, 100, 100), block(150, 20, 230, 100), block(20, 150, 100, 230)]
    everything = np.logical_or.reduce([piece.mask for piece in pieces])
    assert mended(pieces, everything) == pieces


def test_a_smaller_fabric_is_no_part_of_its_neighbour() -> None:
    pieces = [block(20, 20, 100, 100), block(150, 20, 230, 100), block(150, 130, 230, 160)]
    everything = np.logical_or.reduce([piece.mask for piece in pieces])
    assert mended(pieces, everything) == pieces


def test_two_halves_become_one_piece() -> None:
    whole = [block(20, 20, 100, 100), block(150, 20, 230, 100), block(280, 20, 360, 100)]
    halves = [block(20, 150, 100, 182), block(20, 196, 100, 230)]
    everything = np.logical_or.reduce([piece.mask for piece in (*whole, *halves)])
    found = mended([*whole, *halves], everything)
    assert len(found) == 4
    assert np.abs(found[-1].corners - [(20, 150), (100, 150), (100, 230), (20, 230)]).max() < 2


def test_a_piece_that_fell_into_small_parts_is_found() -> None:
    whole = [block(20, 20, 100, 100), block(150, 20, 230, 100), block(280, 20, 360, 100)]
    stripes = [block(20, 150 + at, 100, 150 + at + 8) for at in range(0, 80, 18)]
    everything = np.logical_or.reduce([piece.mask for piece in (*whole, *stripes)])
    found = mended(whole, everything)
    assert len(found) == 4
    assert np.abs(found[-1].corners - [(20, 150), (100, 150), (100, 230), (20, 230)]).max() < 2


def test_nothing_is_mended_where_nothing_was_found() -> None:
    assert mended([], np.zeros((10, 10), dtype=bool)) == []

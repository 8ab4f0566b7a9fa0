"""Folded fabrics in a stack are told apart, however they lie."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from PIL import Image, ImageDraw

from palette.bundle.find import Lie, divided, find
from palette.photo.open import Photo
from palette.photo.quad import Quad

SIZE = (900, 700)
TABLE = (222, 214, 200)
SOLIDS = (
    (168, 62, 50),
    (84, 110, 52),
    (70, 96, 140),
    (204, 160, 48),
    (40, 40, 48),
    (190, 120, 160),
)
LEFT, RIGHT, TOP, BOTTOM = 180, 720, 110, 590


def drawn(strips: list[tuple[int, int, int, int]], blocks: int = 1, second=TABLE) -> Photo:
    """Return a photo of fabrics (left, top, right, bottom) on a table, with some noise.

    The one in the middle is made of so many blocks, side by side, in two dyes by turns.
    """
    image = Image.new("RGB", SIZE, TABLE)
    draw = ImageDraw.Draw(image)
    for number, box in enumerate(strips):
        draw.rectangle(box, fill=SOLIDS[number % len(SOLIDS)])
    if blocks > 1:
        left, top, right, bottom = strips[len(strips) // 2]
        for a, b in list(pairwise(np.linspace(left, right, blocks + 1)))[::2]:
            draw.rectangle((a, top, b, bottom), fill=second)
    noise = np.random.default_rng(8).normal(0, 3, (*SIZE[::-1], 3))
    return Photo(
        Image.fromarray(np.clip(np.rint(np.asarray(image) + noise), 0, 255).astype(np.uint8))
    )


def level(count: int) -> list[tuple[int, int, int, int]]:
    """Return fabrics of one thickness whose ends are flush."""
    borders = np.linspace(TOP, BOTTOM, count + 1).round().astype(int)
    return [(LEFT, int(a), RIGHT, int(b) - 1) for a, b in pairwise(borders)]


def bounds(quad: Quad) -> np.ndarray:
    """Return left, top, right and bottom in pixels."""
    points = quad.array() * SIZE
    return np.concatenate([points.min(axis=0), points.max(axis=0)])


def test_each_fabric_ends_where_its_cloth_ends() -> None:
    shifts = ((0, 0), (-40, 30), (35, -45), (-20, -50), (50, 40), (10, 0))
    strips = [
        (left + a, top, right + b, bottom)
        for (left, top, right, bottom), (a, b) in zip(level(6), shifts, strict=True)
    ]
    found = find(drawn(strips), Lie("stack", count=6))
    for piece, strip in zip(found.pieces, strips, strict=True):
        assert np.abs(bounds(piece.quad) - strip).max() < 8


@pytest.mark.slow
def test_an_outline_by_hand_is_kept() -> None:
    found = find(drawn(level(6)), Lie("stack", count=6))
    inner = Quad.of(np.array([[LEFT + 60, TOP], [RIGHT, TOP], [RIGHT, BOTTOM], [LEFT + 60, BOTTOM]])
                    / SIZE)  # fmt: skip
    again = divided(found, drawn(level(6)), inner, Lie("stack", count=6))
    for piece in again.pieces:
        left, _, right, _ = bounds(piece.quad)
        assert abs(left - LEFT - 60) < 4
        assert abs(right - RIGHT) < 8


def test_a_fabric_in_the_colour_of_the_table_does_not_divide_a_stack() -> None:
    strips = level(7)
    photo = drawn([*strips[:4], *strips[5:]])  # the fifth shows nothing but table
    found = find(photo, Lie("stack", count=7))
    for piece, strip in zip(found.pieces, strips, strict=True):
        assert np.abs(bounds(piece.quad) - strip).max() < 12


def test_blocks_within_a_print_do_not_turn_a_stack() -> None:
    strips = level(5)
    found = find(drawn(strips, blocks=5, second=(240, 238, 230)), Lie("stack", count=5))
    for piece, strip in zip(found.pieces, strips, strict=True):
        assert np.abs(bounds(piece.quad) - strip).max() < 8


def test_what_lies_beyond_a_stack_is_none_of_its_fabrics() -> None:
    strips = level(5)
    photo = drawn(strips)
    box = (RIGHT + 30, TOP + 10, RIGHT + 50, TOP + 80)
    ImageDraw.Draw(photo.pixels).rectangle(box, fill=(30, 60, 160))
    found = find(photo, Lie("stack", count=5))
    assert bounds(found.pieces[0].quad)[2] < RIGHT + 8


@pytest.mark.slow
def test_plain_fabrics_of_near_colours_stay_two_beside_a_busy_print() -> None:
    photo = drawn(level(5))
    pixels = np.array(photo.pixels)
    first, second, third = level(5)[:3]
    rng = np.random.default_rng(3)
    for (left, top, right, bottom), dye in ((first, (216, 120, 96)), (second, (206, 112, 104))):
        pixels[top : bottom + 1, left : right + 1] = dye
    left, top, right, bottom = third
    lines = rng.choice(np.array(SOLIDS), (bottom - top + 1) // 8 + 1)
    pixels[top : bottom + 1, left : right + 1] = lines.repeat(8, axis=0)[: bottom - top + 1, None]
    noise = rng.normal(0, 3, pixels.shape)
    noisy = np.clip(np.rint(pixels + noise), 0, 255).astype(np.uint8)
    found = find(Photo(Image.fromarray(noisy)), Lie("stack", count=5))
    for piece, strip in zip(found.pieces, level(5), strict=True):
        assert np.abs(bounds(piece.quad) - strip).max() < 12

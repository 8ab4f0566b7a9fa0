"""Blocks taken apart: the traditional ways to sew them, and their areas."""

from __future__ import annotations

from fractions import Fraction

import pytest

from placement.block import block_names, load_block, parse_block
from placement.units import Takedown, Unit, take_down


def _area(found: Takedown) -> Fraction:
    """Finished area of everything found, as a part of the block's."""
    area = sum((w * h * n for (_, w, h), n in found.singles.items()), Fraction(0))
    area += sum((unit.width * unit.height * n for unit, n in found.units.items()), Fraction(0))
    for segment, n in found.segments.items():
        area += sum(width for width, _ in segment.strips) * segment.sub_cut * n
    return area


@pytest.mark.parametrize("name", block_names())
def test_the_parts_of_every_block_add_up_to_the_block(name: str) -> None:
    assert _area(take_down(load_block(name))) == 1


def test_a_nine_patch_is_two_kinds_of_slices() -> None:
    # Common practice: dark-light-dark twice, light-dark-light once.
    found = take_down(load_block("nine-patch"))
    slices = {tuple(role for _, role in s.strips): n for s, n in found.segments.items()}
    assert slices == {("F", "B", "F"): 2, ("B", "F", "B"): 1}
    assert not found.singles


def test_a_sawtooth_star_is_four_geese_four_corners_and_a_centre() -> None:
    # Common practice.
    found = take_down(load_block("sawtooth-star"))
    assert found.units == {Unit("goose", Fraction(1, 2), Fraction(1, 4), "BF"): 4}
    assert found.singles == {
        ("B", Fraction(1, 4), Fraction(1, 4)): 4,
        ("S", Fraction(1, 2), Fraction(1, 2)): 1,
    }


def test_an_ohio_star_has_four_like_quarter_square_units() -> None:
    # Common practice: one unit, turned.
    found = take_down(load_block("ohio-star"))
    assert [(unit.kind, n) for unit, n in found.units.items()] == [("quarter", 4)]


def test_a_block_without_a_full_seam_needs_a_partial_seam() -> None:
    # The bright-hopes arrangement: four rectangles round a square; common practice.
    block = parse_block(
        {
            "name": "Four rectangles round a square",
            "columns": [1, 1, 1],
            "rows": [1, 1, 1],
            "patches": ["F < B", "B F ^", "^ F <"],
        }
    )
    found = take_down(block)
    assert found.partial == 1
    assert _area(found) == 1

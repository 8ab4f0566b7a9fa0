"""Borders of a stack that climb from one end to the other."""

from __future__ import annotations

import numpy as np
import pytest

from palette.bundle.stack.slant import slanted

LINES, ACROSS = 120, 128


def stack_of(*ends: tuple[float, float], mixed: float = 0.0) -> np.ndarray:
    """Draw fabrics between borders given by their heights, in lines, at both ends."""
    y, x = np.mgrid[0:LINES, 0:ACROSS]
    part = (x + 0.5) / ACROSS
    codes = sum((y + 0.5 > a + (b - a) * part).astype(int) for a, b in ends)
    rng = np.random.default_rng(2)
    stray = rng.random(codes.shape) < mixed
    return np.where(stray, rng.integers(0, len(ends) + 1, codes.shape), codes)


@pytest.mark.parametrize("climb", [-8.0, -3.0, 0.0, 5.0])
@pytest.mark.parametrize("mixed", [0.0, 0.4])
def test_a_border_that_climbs_is_followed(climb: float, mixed: float) -> None:
    codes = stack_of((40 - climb / 2, 40 + climb / 2), (80, 80), mixed=mixed)
    borders = slanted(codes, np.array([0.0, 42.0, 79.0, 120.0]) / LINES) * LINES
    assert borders[1] == pytest.approx([40 - climb / 2, 40 + climb / 2], abs=1.6)
    assert borders[2] == pytest.approx([80, 80], abs=1.6)


def test_the_outline_stays_as_it_is() -> None:
    borders = slanted(stack_of((40, 44), (80, 76)), np.array([0.0, 42.0, 78.0, 120.0]) / LINES)
    assert borders[[0, -1]].tolist() == [[0, 0], [1, 1]]


def test_two_fabrics_that_look_the_same_keep_their_border() -> None:
    codes = np.random.default_rng(3).integers(0, 4, (LINES, ACROSS))
    borders = slanted(codes, np.array([0.0, 55.0, 120.0]) / LINES) * LINES
    assert borders[1] == pytest.approx([55, 55], abs=3)

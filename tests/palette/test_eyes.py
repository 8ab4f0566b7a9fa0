"""Colour-blind views against the published matrices."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from palette.colour import difference, light_to_lab
from palette.eyes import Eyes, seen_by

RED, GREEN, BLUE = np.eye(3)


@pytest.mark.parametrize(
    ("eyes", "table"),
    [(Eyes.PROTAN, "Protanomaly"), (Eyes.DEUTAN, "Deuteranomaly"), (Eyes.TRITAN, "Tritanomaly")],
)
def test_the_view_is_that_of_the_published_matrices(eyes: Eyes, table: str) -> None:
    """Reference: colour-science's table of Machado, Oliveira, Fernandes 2009, severity 1."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of optional packages that are not there
        import colour
    matrix = np.asarray(colour.CVD_MATRICES_MACHADO2010[table][1.0])
    light = np.random.default_rng(1).uniform(0, 1, (40, 3))
    expected = light_to_lab(np.maximum(light @ matrix.T, 0))
    assert seen_by(light_to_lab(light), eyes) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("eyes", Eyes)
def test_greys_stay_grey(eyes: Eyes) -> None:
    grey = light_to_lab(np.full(3, 0.4))
    assert float(difference(grey[None], seen_by(grey, eyes)[None])[0]) < 0.01


def test_red_and_green_come_nearer_for_two_kinds_and_not_for_the_third() -> None:
    red, green = light_to_lab(0.5 * RED + 0.1), light_to_lab(0.19 * GREEN + 0.1)
    far = {e: float(difference(seen_by(red, e)[None], seen_by(green, e)[None])[0]) for e in Eyes}
    plain = float(difference(red[None], green[None])[0])
    assert far[Eyes.DEUTAN] < plain / 3
    assert far[Eyes.PROTAN] < plain / 1.5
    assert far[Eyes.TRITAN] > plain / 1.5

"""What a scene knows: its colours in each view, and its seams."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.color import rgb2lab

from api.drawing.scene import Material, Scene, Shape, check_view, grey, seams
from palette.colour import Lab

LEFT = Shape(((0, 0), (1, 0), (1, 2), (0, 2)), "red", "patch")
RIGHT = Shape(((1, 0), (3, 0), (3, 2), (1, 2)), "", "plain block")
CLOTHS = (Material("red", "Red", "red.jpg", 10, Lab(40, 60, 30)),)
SCENE = Scene("Two", "Two pieces.", 3, 2, (LEFT, RIGHT), CLOTHS)


def test_a_seam_between_two_pieces_is_listed_once() -> None:
    found = seams(SCENE)
    assert len(found) == len(set(found)) == 7
    assert ((1.0, 0.0), (1.0, 2.0)) in found


@pytest.mark.parametrize("lightness", range(0, 101, 4))
def test_a_grey_is_neutral_and_has_the_lightness_of_its_colour(lightness: int) -> None:
    red, green, blue = grey(Lab(lightness, 35, -20))
    assert red == green == blue
    # L* by another library. One step of eight bits is up to 0.55 L* here, so half of one is 0.28.
    measured = rgb2lab(np.array([[[red, green, blue]]], np.uint8))[0, 0, 0]
    assert measured == pytest.approx(lightness, abs=0.28)


def test_each_view_has_a_colour_for_every_cloth_and_for_none() -> None:
    flat, toned = SCENE.colours("flat"), SCENE.colours("grey")
    assert set(flat) == set(toned) == {"red", ""}
    assert flat["red"][0] > flat["red"][2]
    assert len(set(toned["red"])) == 1
    assert flat[""] == toned[""]


def test_an_unknown_view_is_refused_with_the_ones_there_are() -> None:
    assert check_view("grey") == "grey"
    with pytest.raises(ValueError, match="no view 'sepia'; choose one of cloth, flat, grey"):
        check_view("sepia")

"""Whole photos with paper on the cloth: simulated light, so the truth is known."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from palette.colour import Lab, difference, lab_to_light, light_to_lab, srgb_to_light
from palette.fabric import NotCloth, PhotoFault
from palette.photo.box import Box
from palette.photo.open import PhotoError
from palette.photo.read import Reading, read
from palette.photo.white_paper import Patch
from tests.bench import cards, prints, spectra

if TYPE_CHECKING:
    from palette.photo.daylight import White


PLAIN = Lab(95, 0, 0)
"""The paper of the simulated scenes."""


def take(scene: cards.Scene, white: White, *, even: bool = True) -> Reading:
    return read(scene.jpeg, id="cloth", name="Cloth", white=white, paper=PLAIN, even=even)


def off(reading: Reading, scene: cards.Scene) -> float:
    return float(difference(reading.fabric.reads_as.array(), scene.drawn.reads_as))


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["solid", "stripes", "floral", "tone on tone"])
def test_a_dark_photo_by_lamp_light_is_corrected_by_its_paper(kind: str) -> None:
    scene = cards.scene(kind, np.random.default_rng(11), tint=0.25, stops=-0.8)
    found, marked, bare = take(scene, "auto"), take(scene, scene.marked), take(scene, None)
    assert found.fabric.corrected == marked.fabric.corrected == "white"
    assert bare.fabric.corrected == "none"
    assert off(found, scene) < 2.5
    assert off(marked, scene) < 2.5
    assert off(bare, scene) > 8


@pytest.mark.slow
def test_light_that_falls_between_paper_and_cloth_is_made_up_for() -> None:
    scenes = [cards.scene("solid", np.random.default_rng(seed), fall=0.3) for seed in range(6)]
    evened = [off(take(scene, scene.marked), scene) for scene in scenes]
    uneven = [off(take(scene, scene.marked, even=False), scene) for scene in scenes]
    assert np.mean(evened) < 0.6 * np.mean(uneven)


@pytest.mark.slow
def test_a_reference_serves_other_photos_in_the_same_light() -> None:
    first = cards.scene("dots", np.random.default_rng(3), tint=0.3, stops=-0.5, fall=0)
    other = cards.scene("plaid", np.random.default_rng(4), tint=0.3, stops=-0.5, fall=0)
    reference = take(first, "auto").reference
    assert reference is not None
    whole = read(other.jpeg, id="a", name="A", white=reference)
    # Paper is still in this one: it takes the reference as it is and nothing out.
    rest = other.paper.rest(0.02)
    assert whole.fabric.corrected == "white"
    assert rest.area < 1
    assert off(take(other, reference), other) < off(take(other, None), other) / 2


def test_the_picture_is_corrected_with_the_colours() -> None:
    scene = cards.scene("solid", np.random.default_rng(5), tint=0.25, stops=-0.6)
    reading = take(scene, "auto")
    shown = np.asarray(Image.open(io.BytesIO(reading.picture))) / 255
    seen = light_to_lab(srgb_to_light(shown).mean(axis=(0, 1)))
    assert difference(seen, reading.fabric.reads_as.array()) < 1.0


def test_a_chart_in_the_photo_corrects_it() -> None:
    known = spectra.truth(spectra.chart_reflectances())[:18]
    light = np.full((200, 300, 3), 0.15) * [1, 0.7, 0.9]
    chart = []
    for index, colour in enumerate(known):
        row, column = divmod(index, 9)
        light[5 + 30 * row : 30 + 30 * row, 10 + 30 * column : 35 + 30 * column] = lab_to_light(
            colour
        )
        box = Box((10 + 30 * column) / 300, (5 + 30 * row) / 200, (35 + 30 * column) / 300,
                  (30 + 30 * row) / 200)  # fmt: skip
        chart.append(Patch(box, Lab.rounded(colour)))
    seen = light @ np.array([[0.5, 0.1, 0], [0.05, 0.4, 0.05], [0, 0.1, 0.3]]).T
    data = prints.jpeg(seen, 95)
    reading = read(data, id="a", name="A", white=tuple(chart))
    assert reading.fabric.corrected == "chart"
    truth = light_to_lab(np.array([0.15, 0.105, 0.135]))
    assert difference(reading.fabric.reads_as.array(), truth) < 1.0
    with pytest.raises(PhotoError, match="no patches"):
        read(data, id="a", name="A", white=())


def test_a_place_that_cannot_be_white_is_refused() -> None:
    burnt = np.full((120, 160, 3), 0.2)
    burnt[:40, :40] = 1.2
    for box, said in ((Box(0.05, 0.05, 0.2, 0.2), "over-exposed"),):
        with pytest.raises(PhotoError, match=said):
            read(prints.jpeg(burnt), id="a", name="A", white=box)
    dark = np.full((120, 160, 3), 0.02)
    with pytest.raises(PhotoError, match="dark"):
        read(prints.jpeg(dark), id="a", name="A", white=Box(0.05, 0.05, 0.2, 0.2))


def test_over_exposed_paper_that_nobody_marked_is_told_and_left() -> None:
    drawn = prints.draw("floral", np.random.default_rng(2), 320, 240, 12)
    light = 0.5 * drawn.light
    light[20:80, 20:100] = 1.2
    reading = read(prints.jpeg(light), id="a", name="A", white="auto")
    assert reading.fabric.corrected == "none"
    assert reading.fabric.warnings[0].fault == PhotoFault.PAPER_BRIGHT

    (said,) = reading.fabric.left_out
    assert said.what is NotCloth.PAPER
    assert said.box[0] < 20 / 320
    assert 100 / 320 < said.box[2] < 0.4
    cloth = light_to_lab(light[100:].mean(axis=(0, 1)))
    assert difference(reading.fabric.reads_as.array(), cloth) < 3


def two_sheets(first: tuple[float, ...], second: tuple[float, ...]) -> Reading:
    """Read a photo with a sheet at each side of the cloth, of the light of each."""
    drawn = prints.draw("floral", np.random.default_rng(2), 320, 240, 12)
    light = 0.5 * drawn.light
    light[10:70, 10:80], light[170:230, 240:310] = first, second
    return read(prints.jpeg(light), id="a", name="A", white="auto", paper=PLAIN)


def test_two_lights_on_two_sheets_are_told() -> None:
    warm, cool, white = (0.7, 0.6, 0.48), (0.6, 0.62, 0.64), (0.62, 0.62, 0.62)
    faults = [
        {each.fault for each in two_sheets(*sheets).fabric.warnings}
        for sheets in ((white, white), (white, warm), (warm, cool))
    ]
    assert [PhotoFault.MIXED_LIGHT in found for found in faults] == [False, True, True]
    assert two_sheets(white, white).fabric.corrected == "white"


def test_lights_that_differ_too_much_for_one_correction_leave_the_photo_as_it_is() -> None:
    reading = two_sheets((0.8, 0.55, 0.3), (0.55, 0.6, 0.7))
    assert reading.fabric.corrected == "none"
    assert PhotoFault.MIXED_LIGHT in {each.fault for each in reading.fabric.warnings}


def test_two_sheets_correct_by_the_light_between_them() -> None:
    dim, bright = (0.5, 0.5, 0.5), (0.6, 0.6, 0.6)
    lightness = [
        two_sheets(*sheets).fabric.reads_as.lightness
        for sheets in ((bright, bright), (dim, bright), (dim, dim))
    ]
    assert lightness[0] < lightness[1] < lightness[2]


def test_without_paper_in_it_a_photo_is_read_as_it_is() -> None:
    drawn = prints.draw("check", np.random.default_rng(2), 320, 240, 16)
    data = prints.jpeg(drawn.light)
    asked, bare = (read(data, id="a", name="A", white=white) for white in ("auto", None))
    assert asked == bare


def test_an_ombre_keeps_its_colours_when_evening_is_switched_off() -> None:
    fade = np.linspace(0.1, 0.5, 320)[None, :, None] * np.ones((240, 1, 1)) * [0.5, 0.8, 1.0]
    kept = read(prints.jpeg(fade), id="a", name="A", even=False).fabric
    flat = read(prints.jpeg(fade), id="a", name="A").fabric
    spread = [
        max(part.colour.lightness for part in f.colours)
        - min(part.colour.lightness for part in f.colours)
        for f in (kept, flat)
    ]
    assert spread[0] > 15
    assert spread[0] > 2 * spread[1]


@pytest.mark.parametrize(("tint", "told"), [(0.0, False), (0.6, True)])
def test_a_strong_lamp_is_told(tint: float, told: bool) -> None:
    scene = cards.scene("solid", np.random.default_rng(8), tint=tint, stops=-1.2)
    warnings = take(scene, scene.marked).fabric.warnings
    assert (PhotoFault.COLOURED_LIGHT in {each.fault for each in warnings}) is told


def test_shades_that_folds_make_are_one_colour_and_shades_of_a_print_stay() -> None:
    across = np.linspace(0, 6 * np.pi, 600)
    folds = (0.7 + 0.3 * np.sin(across))[None, :, None] * np.ones((450, 1, 1)) * [0.1, 0.3, 0.35]
    bands = (
        np.where(np.sin(across) > 0, 1.0, 0.4)[None, :, None]
        * np.ones((450, 1, 1))
        * [
            0.1,
            0.3,
            0.35,
        ]
    )
    assert len(read(prints.jpeg(folds), id="a", name="A").fabric.colours) == 1
    assert len(read(prints.jpeg(folds), id="a", name="A", even=False).fabric.colours) > 1
    assert len(read(prints.jpeg(bands), id="a", name="A").fabric.colours) == 2

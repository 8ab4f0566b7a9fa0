"""Each flaw of a photo is planted and must be told; a good photo must pass."""

from __future__ import annotations

import numpy as np
import pytest

from palette.photo.open import open_photo
from palette.photo.read import Source, read, read_photo
from tests.bench import prints


def told(light: np.ndarray) -> str:
    return " ".join(read(prints.jpeg(light), id="a", name="A").fabric.warnings)


def scene(kind: str = "floral", *, seed: int = 3, fall: float = 0.1, blur: float = 0.6):
    rng = np.random.default_rng(seed)
    drawn = prints.draw(kind, rng, 800, 600, 40)
    return prints.photograph(drawn, rng, fall=fall, blur=blur)


@pytest.mark.slow
@pytest.mark.parametrize("kind", prints.KINDS)
def test_a_good_photo_has_no_flaw(kind: str) -> None:
    for seed in range(3):
        assert told(scene(kind, seed=seed)) == ""


def test_a_small_photo_is_told() -> None:
    assert "only 260 x 190 pixels" in told(scene()[:190, :260])
    assert told(scene()[:210, :260]) == ""


def test_a_small_part_of_a_bundles_photo_is_told_as_such() -> None:
    photo = open_photo(prints.jpeg(scene()[:190, :260]), "bundle")
    reading = read_photo(photo, id="a", name="A", source=Source("bundle"))
    assert "In the photo of the bundle it is less than 200 pixels" in reading.fabric.warnings[0]


def test_a_burnt_photo_is_told_with_its_share() -> None:
    light = scene()
    light[:300] = 2.0
    assert "5" in told(light).split("%")[0]
    assert "too bright to tell its colour; take it again out of direct sun" in told(light)


def test_a_black_photo_is_told() -> None:
    light = scene()
    light[:, :400] = 0.0
    assert "too dark to tell its colour; take it again in more light" in told(light)


@pytest.mark.parametrize("kind", ["stripes", "dots", "floral", "plaid", "check"])
def test_a_blurred_photo_is_told(kind: str) -> None:
    assert "looks blurred; hold the camera still" in told(scene(kind, blur=6))


def test_strongly_falling_light_is_told() -> None:
    assert "The light falls by 5" in told(scene(fall=0.6))


def test_a_shadow_across_a_solid_is_told() -> None:
    light = scene("solid")
    light[:, :350] *= 0.5
    assert "A shadow seems to lie across the cloth" in told(light)


def test_wide_stripes_of_two_hues_are_no_shadow() -> None:
    light = np.empty((600, 800, 3))
    light[:, :400], light[:, 400:] = (0.4, 0.1, 0.1), (0.1, 0.1, 0.4)
    assert "shadow" not in told(light)


def test_a_print_larger_than_the_photo_is_told() -> None:
    light = np.full((400, 500, 3), 0.05) * [1.0, 2.0, 3.0]
    light[:, :260] = (0.5, 0.2, 0.1)
    assert "larger than the photo" in told(light)
    drawn = prints.draw("plaid", np.random.default_rng(2), 500, 400, 30)
    assert "larger than the photo" not in told(drawn.light)

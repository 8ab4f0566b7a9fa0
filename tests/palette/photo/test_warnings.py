"""Each fault of a photo is planted and must be told; a good photo must pass."""

from __future__ import annotations

import numpy as np
import pytest

from palette.fabric import PhotoFault, PhotoWarning
from palette.photo.open import open_photo
from palette.photo.read import Source, read, read_photo
from tests.bench import prints


def told(light: np.ndarray) -> dict[PhotoFault, PhotoWarning]:
    found = read(prints.jpeg(light), id="a", name="A").fabric.warnings
    return {warning.fault: warning for warning in found}


def scene(
    kind: str = "floral", *, seed: int = 3, fall: float = 0.1, blur: float = 0.6, feature: int = 40
):
    rng = np.random.default_rng(seed)
    drawn = prints.draw(kind, rng, 800, 600, feature)
    return prints.photograph(drawn, rng, fall=fall, blur=blur)


@pytest.mark.slow
@pytest.mark.parametrize("kind", prints.KINDS)
def test_a_good_photo_has_no_flaw(kind: str) -> None:
    for seed in range(3):
        assert told(scene(kind, seed=seed)) == {}


def test_a_small_photo_is_told() -> None:
    assert told(scene()[:190, :260])[PhotoFault.FEW_PIXELS].size == (260, 190)
    assert told(scene()[:210, :260]) == {}


def test_a_small_part_of_a_bundles_photo_is_told_as_such() -> None:
    photo = open_photo(prints.jpeg(scene()[:190, :260]), "bundle")
    reading = read_photo(photo, id="a", name="A", source=Source("bundle"))
    assert reading.fabric.warnings[0].fault == PhotoFault.FEW_PIXELS_IN_BUNDLE


def test_a_burnt_photo_is_told_with_its_share() -> None:
    light = scene()
    light[:300] = 2.0
    # Half of its rows were burnt; the rim is read too.
    assert told(light)[PhotoFault.TOO_BRIGHT].share == pytest.approx(0.5, abs=0.03)


def test_a_black_photo_is_told() -> None:
    light = scene()
    light[:, :400] = 0.0
    assert told(light)[PhotoFault.TOO_DARK].share == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize(
    ("kind", "feature"),
    [("stripes", 24), ("dots", 20), ("floral", 18), ("plaid", 18), ("check", 30)],
)
def test_a_blurred_photo_is_told(kind: str, feature: int) -> None:
    assert PhotoFault.BLURRED in told(scene(kind, blur=6, feature=feature))


def test_blur_that_costs_no_colour_is_not_told() -> None:
    assert PhotoFault.BLURRED not in told(scene("stripes", blur=3))
    assert PhotoFault.BLURRED not in told(scene("solid", blur=6))


def test_strongly_falling_light_is_told() -> None:
    assert told(scene(fall=0.6))[PhotoFault.UNEVEN_LIGHT].share == pytest.approx(0.55, abs=0.05)


def test_a_shadow_across_a_solid_is_told() -> None:
    light = scene("solid")
    light[:, :350] *= 0.5
    assert PhotoFault.SHADOW in told(light)


def test_wide_stripes_of_two_hues_are_no_shadow() -> None:
    light = np.empty((600, 800, 3))
    light[:, :400], light[:, 400:] = (0.4, 0.1, 0.1), (0.1, 0.1, 0.4)
    assert PhotoFault.SHADOW not in told(light)


def test_a_print_larger_than_the_photo_is_told() -> None:
    light = np.full((400, 500, 3), 0.05) * [1.0, 2.0, 3.0]
    light[:, :260] = (0.5, 0.2, 0.1)
    assert PhotoFault.PRINT_CUT_OFF in told(light)
    drawn = prints.draw("plaid", np.random.default_rng(2), 500, 400, 30)
    assert PhotoFault.PRINT_CUT_OFF not in told(drawn.light)

"""How closely a print is looked at."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from palette.photo.open import Photo
from palette.photo.scale import at_working_scale
from tests.bench import prints


def photo(kind: str, feature: float, seed: int = 1) -> Photo:
    rng = np.random.default_rng(seed)
    return Photo(prints.image(prints.photograph(prints.draw(kind, rng, 1024, 768, feature), rng)))


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["stripes", "dots", "check", "plaid"])
def test_features_of_fine_and_large_prints_end_up_some_pixels_wide(kind: str) -> None:
    assert at_working_scale(photo(kind, 7)).times <= 2
    assert at_working_scale(photo(kind, 90)).times == 4


@pytest.mark.slow
def test_the_work_stays_the_same_at_every_scale() -> None:
    for feature in (7, 90):
        view = at_working_scale(photo("dots", feature))
        assert 240 <= max(view.photo.pixels.size) <= 256


def test_threads_are_grain_and_no_print() -> None:
    rng = np.random.default_rng(2)
    threads = 120 + 50 * rng.choice([-1, 1], (768, 1024))
    cloth = Photo(Image.fromarray(threads.astype(np.uint8)).convert("RGB"))
    assert at_working_scale(cloth).times == 4
    assert not at_working_scale(photo("dots", 40)).grainy
    stripes = threads + 50 * (np.arange(1024) // 40 % 2)
    striped = at_working_scale(Photo(Image.fromarray(stripes.astype(np.uint8)).convert("RGB")))
    assert striped.grainy


@pytest.mark.parametrize("size", [(16, 16), (16, 640), (300, 40), (1024, 26)])
def test_small_photos_and_strips_are_looked_at_too(size: tuple[int, int]) -> None:
    view = at_working_scale(Photo(Image.effect_noise(size, 40).convert("RGB")))
    assert min(view.photo.pixels.size) >= 1
    cut = Photo(Image.new("RGB", size), mask=Image.new("L", size, 255))
    seen = at_working_scale(cut).photo
    assert seen.mask is not None
    assert seen.mask.size == seen.pixels.size

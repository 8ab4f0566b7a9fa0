"""Reads-as colour and main colours, against prints whose truth is counted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from scipy.optimize import linear_sum_assignment

from palette.colour import difference, lab_to_light, light_to_lab, light_to_srgb, srgb_to_light
from palette.photo.open import Photo, histogram, open_photo
from palette.photo.profile import SRGB
from palette.photo.read import read
from palette.photo.reduce import cloth_of, feature_size, labels_of, main_colours, mean_light
from tests.bench import prints


def reads_as(image: Image.Image) -> np.ndarray:
    return light_to_lab(mean_light(histogram(Photo(image)), SRGB))


def colours_of(light: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    return main_colours(cloth_of(light, np.ones(light.shape[:2], dtype=bool)))


def worst(found: np.ndarray, true: np.ndarray) -> float:
    """Difference of the worst true colour from the found one it is matched to."""
    apart = difference(true[:, None], found[None])
    rows, columns = linear_sum_assignment(apart)
    return float(apart[rows, columns].max()) if len(rows) == len(true) else float("inf")


def test_a_black_and_white_check_reads_188() -> None:
    # Half the light of white: IEC 61966-2-1 encodes 0.5 as 187.5 of 255, and
    # CIE 15 gives L* = 116 * 0.5^(1/3) - 16 = 76.07.
    check = Image.fromarray((np.indices((64, 64)).sum(axis=0) % 2 * 255).astype(np.uint8))
    light = mean_light(histogram(Photo(check.convert("RGB"))), SRGB)
    assert 255 * light_to_srgb(light) == pytest.approx([187.5] * 3, abs=0.05)
    assert reads_as(check.convert("RGB")) == pytest.approx([76.07, 0, 0], abs=0.01)


def test_prints_read_as_their_mean_light_after_jpeg_85() -> None:
    apart, of_numbers = [], []
    for seed in range(21):
        rng = np.random.default_rng(seed)
        drawn = prints.draw(prints.KINDS[seed % 7], rng, 400, 300, rng.uniform(6, 40))
        photo = open_photo(prints.jpeg(drawn.light), "Print")
        seen = light_to_lab(mean_light(histogram(photo), photo.meaning))
        apart.append(difference(seen, drawn.reads_as))
        numbers = np.asarray(photo.pixels).mean(axis=(0, 1)) / 255
        of_numbers.append(difference(light_to_lab(srgb_to_light(numbers)), drawn.reads_as))
    assert np.percentile(apart, 95) <= 0.75
    # The mean of sRGB numbers, as a shrunk picture would give, is far off.
    assert np.percentile(of_numbers, 95) > 3


@pytest.mark.slow
@pytest.mark.parametrize("kind", prints.KINDS)
def test_main_colours_and_shares_of_a_photographed_print_are_found(kind: str) -> None:
    for seed in range(2):
        rng = np.random.default_rng(seed)
        drawn = prints.draw(kind, rng, 1024, 768, rng.uniform(25, 90))
        fabric = read(prints.jpeg(prints.photograph(drawn, rng)), id="a", name="A").fabric
        found = np.array([part.colour.array() for part in fabric.colours])
        large = drawn.shares >= 0.03
        assert worst(found, drawn.dyes[large]) < 1.2
        assert len(found) <= len(drawn.dyes)
        apart = difference(found[:, None], drawn.dyes[None]).argmin(axis=1)
        shares = [part.share for part in fabric.colours]
        assert shares == pytest.approx(drawn.shares[apart], abs=0.05)


def test_a_colour_between_two_others_is_kept_when_it_lies_flat() -> None:
    # A gingham: the middle colour is the mixture of the other two, and is dyed so.
    dark, white = np.array([0.02, 0.05, 0.2]), np.array([0.7, 0.7, 0.7])
    bands = np.repeat(np.arange(16) % 2, 16)
    light = np.stack([dark, (dark + white) / 2, white])[bands[:, None] + bands]
    lab, shares = colours_of(light)
    assert len(lab) == 3
    assert sorted(shares) == pytest.approx([0.25, 0.25, 0.5], abs=0.01)


def test_the_blur_between_two_colours_is_no_third() -> None:
    ramp = np.clip((np.arange(256) % 32 - 14) / 3, 0, 1)
    ramp = np.minimum(ramp, np.clip((31 - np.arange(256) % 32) / 3, 0, 1))
    ends = np.array([[0.5, 0.05, 0.05], [0.05, 0.4, 0.6]])
    row = ends[0] + ramp[:, None] * (ends[1] - ends[0])
    lab, _ = colours_of(np.broadcast_to(row, (128, 256, 3)))
    assert len(lab) == 2
    assert worst(lab, light_to_lab(ends)) < 0.5


@pytest.mark.parametrize("width", [6, 10, 20])
@pytest.mark.parametrize("turned", [False, True])
def test_the_size_of_a_stripe_is_its_width(width: int, turned: bool) -> None:
    across = np.arange(240) // width % 2
    light = np.array([[0.6, 0.6, 0.5], [0.05, 0.1, 0.3]])[np.broadcast_to(across, (240, 240))]
    light = light.swapaxes(0, 1) if turned else light
    cloth = cloth_of(light, np.ones((240, 240), dtype=bool))
    labels = labels_of(cloth, main_colours(cloth)[0])
    assert feature_size(cloth, labels) == pytest.approx(width, rel=0.12)


def test_a_solid_has_one_colour_and_no_features() -> None:
    cloth = cloth_of(np.full((40, 40, 3), 0.3), np.ones((40, 40), dtype=bool))
    lab, shares = main_colours(cloth)
    assert lab == pytest.approx(light_to_lab(np.full((1, 3), 0.3)), abs=1e-9)
    assert shares == pytest.approx([1])
    assert feature_size(cloth, labels_of(cloth, lab)) == 0


def test_threads_of_a_grainy_cloth_mix_to_one_colour() -> None:
    rng = np.random.default_rng(5)
    threads = rng.choice([0.05, 0.5], (128, 128, 1)) * np.array([1.0, 0.2, 0.2])
    counts = np.ones((128, 128), dtype=bool)
    fine, _ = main_colours(cloth_of(threads, counts))
    mixed, shares = main_colours(cloth_of(threads, counts, grainy=True))
    mean = light_to_lab(threads.mean(axis=(0, 1)))
    assert len(fine) == 2
    assert difference(mixed[0], mean) < 4
    assert abs(shares @ lab_to_light(mixed) - threads.mean(axis=(0, 1))).max() < 0.01


@given(st.integers(3, 40), st.integers(3, 40), st.integers(0, 1 << 16), st.booleans())
def test_any_pixels_have_main_colours_whose_shares_add_up(
    height: int, width: int, seed: int, wild: bool
) -> None:
    rng = np.random.default_rng(seed)
    light = rng.uniform(-0.02, 1.3, (height, width, 3)) if wild else np.zeros((height, width, 3))
    counts = rng.random((height, width)) < rng.uniform(0.05, 1)
    counts[0, 0] = True
    cloth = cloth_of(light, counts, grainy=bool(seed % 2))
    lab, shares = main_colours(cloth)
    assert shares.sum() == pytest.approx(1)
    assert (np.diff(shares) <= 0).all()
    assert shares.min() > 0
    assert np.isfinite(lab).all()
    assert feature_size(cloth, labels_of(cloth, lab)) >= 0

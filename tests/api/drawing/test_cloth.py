"""How cloth lies under a piece: true to scale, inside its picture where it fits."""

from __future__ import annotations

from io import BytesIO
from math import dist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from api.drawing.cloth import evenly_lit, lie, load_print, repeats
from api.drawing.scene import Material, Shape
from palette.colour import Lab, srgb_to_light

parts = st.floats(0, 0.999)


def square(side: float, grain: float, place: tuple[float, float]) -> Shape:
    points = ((3.0, 5.0), (3 + side, 5.0), (3 + side, 5 + side), (3.0, 5 + side))
    return Shape(points, "linen", "patch", grain=grain, place=place)


@given(grain=st.sampled_from([0, 45, 90, 135, 180, 225, 270, 315]), x=parts, y=parts)
def test_a_piece_that_fits_is_cut_from_inside_the_picture(grain: int, x: float, y: float) -> None:
    piece = square(4, grain, (x, y))
    under = [lie(piece, 10, 7).cloth(*point) for point in piece.points]
    assert min(u for u, _ in under) > -1e-9
    assert max(u for u, _ in under) < 10 + 1e-9
    assert min(v for _, v in under) > -1e-9
    assert max(v for _, v in under) < 7 + 1e-9
    assert repeats(piece, 10, 7) == ((0, 0),)


@given(grain=st.floats(0, 360), x=parts, y=parts)
def test_an_inch_of_quilt_shows_an_inch_of_cloth(grain: float, x: float, y: float) -> None:
    laid = lie(square(4, grain, (x, y)), 10, 7)
    assert dist(laid.cloth(1, 2), laid.cloth(4, 6)) == pytest.approx(5)


def test_cloth_turned_clockwise_runs_down_where_it_ran_across() -> None:
    laid = lie(square(2, 90, (0, 0)), 10, 10)
    (u0, v0), (u1, v1) = laid.cloth(0, 0), laid.cloth(0, 1)
    assert (u1 - u0, v1 - v0) == pytest.approx((1, 0))


def test_two_places_show_two_parts_of_the_cloth() -> None:
    first, second = (lie(square(4, 0, place), 10, 10) for place in ((0.1, 0.2), (0.8, 0.3)))
    assert first.cloth(3, 5) == pytest.approx((0.6, 1.2))
    assert second.cloth(3, 5) == pytest.approx((4.8, 1.8))


def test_a_piece_larger_than_the_picture_runs_on_into_its_repeats() -> None:
    strip = Shape(((0, 0), (35, 0), (35, 4), (0, 4)), "linen", "border", place=(0.0, 0.0))
    assert repeats(strip, 10, 10) == ((0, 0), (1, 0), (2, 0), (3, 0))


def test_the_rim_of_a_photo_is_trimmed_and_the_scale_stays() -> None:
    pixels = np.full((500, 1000, 3), 120, np.uint8)
    pixels[:8] = pixels[-8:] = 255
    pixels[:, :16] = pixels[:, -16:] = 255
    out = BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    shown = load_print(Material("a", "A", "a", 10, Lab(50, 0, 0)), out.getvalue(), 1000)
    assert (shown.width, shown.height) == pytest.approx((9.6, 4.8))
    assert shown.image.size == (960, 480)
    assert np.asarray(shown.image).max() == 120


def test_a_picture_is_shrunk_to_the_density_asked_for_and_never_enlarged() -> None:
    out = BytesIO()
    Image.new("RGB", (400, 300)).save(out, "JPEG")
    cloth = Material("a", "A", "a", 10, Lab(50, 0, 0))
    assert load_print(cloth, out.getvalue(), 20).image.size == (192, 144)
    assert load_print(cloth, out.getvalue(), 500).image.size == (384, 288)


def dotted() -> np.ndarray:
    """Return the light of a two-coloured print, evenly lit, shape (400, 600, 3)."""
    y, x = np.mgrid[0:400, 0:600]
    dots = ((x % 40 - 20) ** 2 + (y % 40 - 20) ** 2 < 120)[..., None]
    return np.where(dots, [0.45, 0.42, 0.30], [0.06, 0.14, 0.25])


def photographed(light: np.ndarray) -> Image.Image:
    # Light to sRGB with gamma 2.2, close enough to the standard's curve for a made-up photo.
    return Image.fromarray(np.rint(255 * np.clip(light, 0, 1) ** (1 / 2.2)).astype(np.uint8))


def test_light_that_falls_off_across_a_photo_is_evened() -> None:
    falling = np.linspace(1.4, 0.6, 600)[None, :, None]
    even = np.asarray(photographed(dotted()), float)
    before = np.abs(np.asarray(photographed(dotted() * falling), float) - even).mean()
    after = np.abs(np.asarray(evenly_lit(photographed(dotted() * falling)), float) - even).mean()
    assert before > 10
    assert after < before / 4


def test_an_evenly_lit_photo_stays_as_it_is() -> None:
    photo = photographed(dotted())
    change = np.abs(np.asarray(evenly_lit(photo), float) - np.asarray(photo))
    assert change.mean() < 1


def warmer_to_the_left(strength: float) -> np.ndarray:
    x = np.linspace(-1, 1, 200)[None, :, None]
    return np.exp(strength * x * np.array([-0.2, 0.0, 1.0])) * np.ones((160, 1, 1))


def linen() -> np.ndarray:
    """Light of cloth of one hue with an uneven thread, made up."""
    threads = np.random.default_rng(4).normal(1, 0.06, (160, 200, 1))
    return threads * np.array([0.6, 0.5, 0.35])


def blueness(image: Image.Image) -> np.ndarray:
    """Return the share of blue in eight upright bands of a picture's light."""
    light = srgb_to_light(np.asarray(image) / 255)
    shares: np.ndarray = light[..., 2] / light.sum(axis=-1)
    return shares.reshape(160, 8, 25).mean(axis=(0, 2))


def test_a_drift_of_colour_across_cloth_of_one_hue_is_evened() -> None:
    drifting = photographed(linen() * warmer_to_the_left(0.05))
    assert np.ptp(blueness(drifting)) > 0.015
    assert np.ptp(blueness(evenly_lit(drifting))) < 0.003


def test_cloth_that_goes_from_one_colour_to_another_keeps_its_colours() -> None:
    dyed = photographed(linen() * warmer_to_the_left(0.3))
    assert blueness(evenly_lit(dyed)) == pytest.approx(blueness(dyed), abs=0.003)


def test_a_print_of_two_colours_keeps_them_where_they_are() -> None:
    flowers = linen()
    flowers[40:120, 120:190] = [0.7, 0.1, 0.1]
    photo = photographed(flowers)
    assert blueness(evenly_lit(photo)) == pytest.approx(blueness(photo), abs=0.003)

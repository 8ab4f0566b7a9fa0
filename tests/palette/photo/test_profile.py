"""Profiles of curves and colorants against Little CMS, the reference colour engine in Pillow."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageCms

from palette.colour import light_to_srgb
from palette.photo.profile import SRGB, in_srgb, meaning
from tests.profiles import parametric, sampled

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

GAMMA = 563
"""2.19921875 in 256ths: the curve of Adobe RGB (1998), 4.3.1.2."""
CURVES = {
    "gamma as type 0": parametric(0, 2.2),
    "type 1": parametric(1, 2.2, 1.0, 0.0),
    "type 2": parametric(2, 2.2, 0.98, 0.0, 0.02),
    "sRGB as type 3": parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045),
    "sRGB as type 4": parametric(4, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045, 0, 0),
    "gamma as a number": sampled(GAMMA),
    "a table": sampled(*(round(65535 * (n / 63) ** 2) for n in range(64))),
    "straight": sampled(),
}


def shown(profile: bytes, codes: np.ndarray) -> np.ndarray:
    """Follow a profile to 8-bit sRGB as the product does."""
    known = meaning(profile)
    assert known is not None
    energy = np.stack([known.curves[part][codes[..., part]] for part in range(3)], axis=-1)
    return 255 * light_to_srgb(known.light(energy))


def in_gamut(rng: np.random.Generator) -> np.ndarray:
    """Colours of little chroma, which every space here holds."""
    grey = rng.integers(60, 196, (64, 64, 1))
    return (grey + rng.integers(-25, 26, (64, 64, 3))).astype(np.uint8)


@pytest.mark.parametrize("space", ["Display P3", "Adobe RGB (1998)", "sRGB"])
@pytest.mark.parametrize("curve", CURVES)
def test_following_a_profile_agrees_with_little_cms(
    space: str, curve: str, make_profile: Callable[..., bytes]
) -> None:
    profile = make_profile(space, CURVES[curve])
    codes = in_gamut(np.random.default_rng(1))
    theirs = in_srgb(Image.fromarray(codes), profile)
    assert theirs is not None
    apart = np.abs(shown(profile, codes) - np.asarray(theirs, dtype=float))
    # Little CMS rounds to 8 bits at the end and to 16 within.
    assert apart.max() < 1.3
    assert apart.mean() < 0.35


def test_colours_beyond_srgb_keep_their_values(
    display_p3: bytes, colour_science: ModuleType
) -> None:
    known = meaning(display_p3)
    assert known is not None
    expected = colour_science.matrix_RGB_to_RGB(
        colour_science.RGB_COLOURSPACES["Display P3"], colour_science.RGB_COLOURSPACES["sRGB"]
    )
    assert expected[0, 0] > 1.2
    assert np.abs(known.light(np.eye(3)).T - expected).max() < 2e-3


def test_white_of_every_profile_is_white(make_profile: Callable[..., bytes]) -> None:
    for space in ("Display P3", "Adobe RGB (1998)"):
        known = meaning(make_profile(space, sampled(GAMMA)))
        assert known is not None
        assert known.light(np.ones(3)) == pytest.approx([1, 1, 1], abs=1e-12)


def test_a_profile_by_little_cms_itself_is_plain_srgb() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    known = meaning(profile)
    assert known is not None
    assert known.mix == pytest.approx(SRGB.mix, abs=1e-3)
    assert known.curves == pytest.approx(SRGB.curves, abs=1e-4)


def test_grey_profiles_and_junk_are_left_to_little_cms(display_p3: bytes) -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    for profile in (b"", b"junk", bytes(200), lab, display_p3[:140]):
        assert meaning(profile) is None
    grey = display_p3.replace(b"RGB XYZ ", b"GRAYXYZ ")
    assert meaning(grey) is None
    assert in_srgb(Image.new("RGB", (2, 2)), grey) is None
    assert in_srgb(Image.new("RGB", (2, 2)), b"junk") is None


def test_tables_that_outrank_the_curves_are_left_to_little_cms(display_p3: bytes) -> None:
    assert meaning(display_p3.replace(b"wtpt", b"A2B0")) is None


@given(data=st.data())
def test_no_damage_to_a_profile_raises(data: st.DataObject, display_p3: bytes) -> None:
    broken = bytearray(display_p3)
    for _ in range(data.draw(st.integers(1, 8))):
        broken[data.draw(st.integers(0, len(broken) - 1))] = data.draw(st.integers(0, 255))
    known = meaning(bytes(broken[: data.draw(st.integers(0, len(broken)))]))
    assert known is None or np.isfinite(known.light(known.curves.T)).all()

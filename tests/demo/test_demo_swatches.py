"""The sample bundle is complete, looks like cloth, and carries what phones leave in files."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import ExifTags, Image, ImageCms, ImageOps
from scipy.ndimage import gaussian_filter
from skimage.color import deltaE_ciede2000, rgb2lab

from demo_swatches import icc, make_swatches
from demo_swatches.bundle import SWATCHES

if TYPE_CHECKING:
    from numpy.typing import NDArray

FOLDER = Path(make_swatches.__file__).parent
SCENARIO = json.loads((FOLDER / "scenario.json").read_text(encoding="utf-8"))
STEMS = [*SCENARIO["fabrics"], *SCENARIO["backgrounds"]]
MEGABYTE = 1_000_000
_ENDS = (slice(0, 250), slice(-250, None))


def _photo(stem: str) -> Image.Image:
    return Image.open(FOLDER / f"{stem}.jpg")


def _upright(stem: str) -> NDArray[np.float64]:
    with _photo(stem) as photo:
        return np.asarray(ImageOps.exif_transpose(photo).convert("RGB"), float)


def _grey(stem: str) -> NDArray[np.float64]:
    return _upright(stem).mean(axis=2)


def _mean_lab(stem: str) -> NDArray[np.float64]:
    """Average in linear light, as an eye far away does, then CIE Lab by scikit-image."""
    share = _upright(stem) / 255
    light = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    mean = light.mean(axis=(0, 1))
    return rgb2lab(np.where(mean <= 0.0031308, mean * 12.92, 1.055 * mean ** (1 / 2.4) - 0.055))


def test_the_bundle_has_thirty_fabrics_and_three_backgrounds_as_the_scenario_says() -> None:
    assert len(SCENARIO["fabrics"]) == 30
    assert len(SCENARIO["backgrounds"]) == 3
    assert {file.stem for file in FOLDER.glob("*.jpg")} == set(STEMS)
    assert {swatch.stem: swatch.name for swatch in SWATCHES} == (
        SCENARIO["fabrics"] | SCENARIO["backgrounds"]
    )


def test_the_scenario_points_only_at_photos_that_exist() -> None:
    assert SCENARIO["background"] in SCENARIO["backgrounds"]
    assert set(SCENARIO["directional"]) <= set(SCENARIO["fabrics"])
    assert SCENARIO["pick"] < len(SCENARIO["fabrics"])
    assert all(stem.startswith("background-") for stem in SCENARIO["backgrounds"])


def test_the_photos_are_of_a_phone_shrunk_for_the_web() -> None:
    assert sum(file.stat().st_size for file in FOLDER.glob("*.jpg")) <= 8 * MEGABYTE
    for stem in STEMS:
        with _photo(stem) as photo:
            assert photo.format == "JPEG"
            assert min(photo.size) >= 900
            assert max(photo.size) <= 1200


def test_one_photo_is_stored_upside_down_and_turns_upright_by_its_exif_tag() -> None:
    stem = make_swatches.UPSIDE_DOWN
    with _photo(stem) as photo:
        # 3 = turned by 180 degrees (Exif 2.3, tag 274).
        assert photo.getexif()[ExifTags.Base.Orientation] == 3
        stored = np.asarray(photo, float)
    meant = make_swatches.upright(next(s for s in SWATCHES if s.stem == stem)).astype(float)
    assert np.abs(_upright(stem) - meant).mean() < 5  # the loss of JPEG
    assert np.abs(stored - meant).mean() > 20


def test_no_other_photo_has_an_orientation() -> None:
    for stem in set(STEMS) - {make_swatches.UPSIDE_DOWN}:
        with _photo(stem) as photo:
            assert ExifTags.Base.Orientation not in photo.getexif()


def test_one_photo_is_in_display_p3_and_its_profile_converts_as_the_standard_says() -> None:
    with _photo(make_swatches.WIDE_GAMUT) as photo:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(photo.info["icc_profile"]))
    assert ImageCms.getProfileDescription(profile).strip() == "Display P3"
    # CSS Color Module Level 4: color(display-p3 1 0 0) is outside sRGB and clips to pure red,
    # and display-p3 0.5 0.5 0.5 is the same grey in sRGB, as the two share white and curve.
    to_srgb = ImageCms.buildTransform(profile, ImageCms.createProfile("sRGB"), "RGB", "RGB")
    colours = Image.new("RGB", (3, 1))
    colours.putdata([(255, 0, 0), (128, 128, 128), (200, 120, 80)])
    red, grey, clay = ImageCms.applyTransform(colours, to_srgb).get_flattened_data()
    assert red == (255, 0, 0)
    assert np.allclose(grey, 128, atol=1)
    assert np.allclose(clay, _p3_to_srgb((200, 120, 80)), atol=2)


def _p3_to_srgb(code: tuple[int, int, int]) -> NDArray[np.float64]:
    """Convert by the matrix of CSS Color Module Level 4, sample code (from memory)."""
    matrix = np.array(
        [
            [1.2249401, -0.2249402, 0.0],
            [-0.0420569, 1.0420571, 0.0],
            [-0.0196376, -0.0786361, 1.0982735],
        ]
    )
    share = np.array(code) / 255
    light = matrix @ np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    back = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return back * 255


def test_the_primaries_of_the_profile_are_those_of_display_p3_adapted_to_d50() -> None:
    # The colorants that profiles of Display P3 commonly hold (s15Fixed16, from memory).
    expected = np.array(
        [[0.5151, 0.2919, 0.1572], [0.2412, 0.6922, 0.0666], [-0.0011, 0.0419, 0.7841]]
    )
    assert np.allclose(icc.p3_to_d50(), expected, atol=2e-4)


def test_the_wide_gamut_photo_holds_colours_that_srgb_cannot() -> None:
    share = _upright(make_swatches.WIDE_GAMUT)[::8, ::8].reshape(-1, 3) / 255
    light = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    red_in_srgb = light @ np.array([1.2249401, -0.2249402, 0.0])
    assert (red_in_srgb > 1.0).mean() > 0.01


def test_exactly_one_photo_carries_a_place_and_it_lies_on_the_open_sea() -> None:
    places = {}
    for stem in STEMS:
        with _photo(stem) as photo:
            places[stem] = dict(photo.getexif().get_ifd(ExifTags.IFD.GPSInfo))
    assert [stem for stem, place in places.items() if place] == [make_swatches.WITH_PLACE]
    place = places[make_swatches.WITH_PLACE]
    assert (place[1], place[3]) == ("N", "W")
    assert 40 <= float(place[2][0]) <= 47
    assert 25 < float(place[4][0]) < 40  # between the Azores and Newfoundland's banks


@pytest.mark.parametrize("stem", ["quince-dots", "slate-chambray"])
def test_the_script_makes_the_same_pixels_again(stem: str, tmp_path: Path) -> None:
    swatch = next(swatch for swatch in SWATCHES if swatch.stem == stem)
    with Image.open(make_swatches.save(swatch, tmp_path)) as photo:
        again = np.asarray(photo, float)
    # Exactly the same with the same libraries; another JPEG encoder may round differently.
    assert np.abs(again - _upright(stem)).mean() < 1


@pytest.mark.parametrize("stem", STEMS)
def test_every_photo_shows_threads_and_falling_light(stem: str) -> None:
    grey = _grey(stem)
    middle = grey[300:600, 300:600]
    threads = middle - gaussian_filter(middle, 3)
    assert threads.std() > 0.02 * middle.mean()
    corners = [grey[y, x].mean() for y in _ENDS for x in _ENDS]
    assert max(corners) / min(corners) > 1.03


@pytest.mark.parametrize(
    ("one", "other"), [("orchard-grass", "meadow-grass"), ("slate-chambray", "rain-slate")]
)
def test_near_twins_differ_but_hardly(one: str, other: str) -> None:
    # About 1 is just seen side by side, and below 4 is not told apart across a room (common
    # practice).
    assert 1 < deltaE_ciede2000(_mean_lab(one), _mean_lab(other)) < 4


@pytest.mark.parametrize("stem", ["milk-clover", "apple-blossom", "buttermilk"])
def test_three_fabrics_are_too_pale_for_the_chosen_background(stem: str) -> None:
    assert deltaE_ciede2000(_mean_lab(stem), _mean_lab(SCENARIO["background"])) < 10


def test_the_bundle_runs_from_nearly_black_to_nearly_white_and_round_the_hues() -> None:
    labs = np.array([_mean_lab(stem) for stem in SCENARIO["fabrics"]])
    assert labs[:, 0].min() < 15
    assert labs[:, 0].max() > 90
    colourful = labs[np.hypot(labs[:, 1], labs[:, 2]) > 12]
    hue = np.degrees(np.arctan2(colourful[:, 2], colourful[:, 1])) % 360
    assert len(set((hue // 60).astype(int))) == 6

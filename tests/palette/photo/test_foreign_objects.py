"""What is no part of a cloth: laid on made-up prints, so that the truth is known."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image, ImageDraw

from palette.colour import difference, lab_to_light
from palette.fabric import PhotoFault, Side
from palette.photo.cloth import cloth_in
from palette.photo.daylight import Lit
from palette.photo.foreign_objects import strays
from palette.photo.open import Photo, open_photo
from palette.photo.read import read
from tests.bench import prints

if TYPE_CHECKING:
    from types import ModuleType

SIZE = (600, 450)
FABRICS = Path(__file__).resolve().parents[4] / "shared" / "fabrics"


def cloth(kind: str = "dots", feature: float = 10, seed: int = 4) -> prints.Print:
    return prints.draw(kind, np.random.default_rng(seed), *SIZE, feature)


def laid_on(drawn: prints.Print, light: np.ndarray, *shape: tuple[float, float]) -> bytes:
    """Photograph a cloth with a polygon (parts of the sides) of some light on it."""
    cover = Image.new("L", SIZE)
    ImageDraw.Draw(cover).polygon([(x * SIZE[0], y * SIZE[1]) for x, y in shape], fill=255)
    mixed = np.where(np.asarray(cover)[..., None] > 0, light, drawn.light)
    made = prints.Print(drawn.kind, drawn.dyes, drawn.shares, mixed)
    return prints.jpeg(prints.photograph(made, np.random.default_rng(9), fall=0.15))


def off(data: bytes, drawn: prints.Print, *, whole: bool = False) -> float:
    """How far the reading of a photo is from the truth."""
    fabric = read(data, id="a", name="A", whole=whole).fabric
    return float(difference(fabric.reads_as.array(), drawn.reads_as))


@pytest.fixture(params=["dark skin", "light skin"])
def skin(request: pytest.FixtureRequest, colour_science: ModuleType) -> np.ndarray:
    """Return the light of a skin patch of the ColorChecker, edition of November 2014."""
    chart = colour_science.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    xyz = colour_science.xyY_to_XYZ(chart.data[request.param])
    rgb = colour_science.XYZ_to_RGB(xyz, "sRGB", chart.illuminant, apply_cctf_encoding=False)
    return np.clip(rgb, 0.01, 1)


THUMB = ((0.35, 1), (0.4, 0.62), (0.45, 0.55), (0.53, 0.55), (0.57, 0.62), (0.6, 1))


@pytest.mark.parametrize("kind", ["solid", "dots", "check"])
def test_a_hand_is_left_out_whatever_its_skin(kind: str, skin: np.ndarray) -> None:
    drawn = cloth(kind)
    data = laid_on(drawn, skin, *THUMB)
    assert off(data, drawn) < 0.8 < off(data, drawn, whole=True)
    warning = read(data, id="a", name="A").fabric.warnings[0]
    assert (warning.fault, warning.side) == (PhotoFault.FOREIGN_OBJECT, Side.LOWER)
    assert 0 < warning.share < 0.2


@pytest.mark.parametrize(
    "shape",
    [
        ((0, 0), (0.12, 0), (0.16, 1), (0, 1)),
        ((0, 0), (1, 0), (1, 0.1), (0.1, 0.14), (0.08, 1), (0, 1)),
        ((0.7, 0), (1, 0), (1, 0.35)),
    ],
    ids=["strip", "two strips", "corner"],
)
def test_the_edge_of_the_table_is_left_out(shape: tuple[tuple[float, float], ...]) -> None:
    drawn = cloth("floral", 8, seed=11)
    data = laid_on(drawn, lab_to_light(np.array([22.0, 4.0, 6.0])), *shape)
    assert off(data, drawn) < 0.7 < off(data, drawn, whole=True)


def test_a_spot_of_glare_is_left_out_and_said() -> None:
    drawn = cloth("solid", seed=8)
    y, x = np.mgrid[0 : SIZE[1], 0 : SIZE[0]]
    spot = np.hypot(x - 320, y - 200) < 55
    data = prints.jpeg(np.where(spot[..., None], 1.0, drawn.light))
    assert off(data, drawn) < 0.5 < off(data, drawn, whole=True)
    assert read(data, id="a", name="A").fabric.warnings[0].fault == PhotoFault.GLARE


@pytest.mark.parametrize("kind", prints.KINDS)
@pytest.mark.parametrize("feature", [6, 25, 50])
def test_a_print_loses_nothing(kind: str, feature: float) -> None:
    for seed in range(6):
        rng = np.random.default_rng(seed)
        photo = prints.photograph(prints.draw(kind, rng, 300, 225, feature), rng, fall=0.25)
        assert strays(open_photo(prints.jpeg(photo), kind)) is None


def test_a_wide_stripe_across_the_photo_is_a_print() -> None:
    drawn = cloth("solid", seed=8)
    green = lab_to_light(np.array([50.0, -40.0, 30.0]))
    data = laid_on(drawn, green, (0, 0.4), (1, 0.4), (1, 0.6), (0, 0.6))
    assert strays(open_photo(data, "stripe")) is None


def test_white_cloth_is_no_glare() -> None:
    white = np.broadcast_to(lab_to_light(np.array([97.0, 0.0, 1.0])), (*SIZE[::-1], 3))
    assert strays(open_photo(prints.jpeg(white), "white")) is None


def test_cloth_that_was_cut_out_is_left_as_it_is() -> None:
    image = Image.new("RGB", SIZE, "#406080")
    image.paste("#d0a080", (0, 0, 60, 450))
    photo = Photo(image, mask=Image.new("L", SIZE, 255))
    kept = cloth_in(photo, Lit(None))
    assert kept.left_out == kept.warnings == ()
    assert kept.part.pixels.size == SIZE


def test_the_picture_is_the_largest_part_that_shows_cloth_alone(skin: np.ndarray) -> None:
    drawn = cloth("solid", seed=8)
    reading = read(laid_on(drawn, skin, *THUMB), id="a", name="A")
    picture = Image.open(io.BytesIO(reading.picture))
    codes = np.asarray(picture, dtype=float) / 255
    for part in np.array_split(codes, 8, axis=1):
        # The light still falls across it, but no skin shows anywhere.
        assert difference(_lab(part), drawn.reads_as) < 6
    # Above the thumb or to the right of it: no other upright part is as large.
    assert picture.width * picture.height > 0.4 * SIZE[0] * SIZE[1]
    assert reading.across == pytest.approx(picture.width / SIZE[0], abs=0.02)


def _lab(codes: np.ndarray) -> np.ndarray:
    from palette.colour import light_to_lab, srgb_to_light

    return light_to_lab(srgb_to_light(codes).mean(axis=(0, 1)))


def test_of_the_photos_at_hand_only_the_held_shirt_loses_something() -> None:
    if not FABRICS.exists():
        pytest.skip("the folder of fabric photos is not beside the project")
    found = {}
    for path in sorted(FABRICS.iterdir()):
        if path.suffix in (".jpg", ".png", ".webp"):
            stray = strays(open_photo(path.read_bytes(), path.name))
            if stray:
                found[path.stem] = stray.warnings
    assert set(found) == {"camera_tshirt_orange"}

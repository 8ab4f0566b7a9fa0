"""A colour told by hand: the fabric it becomes, and the picture of plain cloth."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from palette.colour import to_hex
from palette.photo.read import read
from palette.picking.similarity import closeness
from palette.solid import PIXELS, cloth, solid
from palette.uncertainty import case

if TYPE_CHECKING:
    from types import ModuleType

COLOURS = ["#a83e32", "#54703e", "#46608c", "#ccb030", "#eee8d8", "#808080", "#000000", "#ffffff"]
VIVID = ["#ff0000", "#0000ff", "#00ff00", "#ffff00", "#ff00ff"]
# Drawn once with a fixed seed; they stand for any colour.
RANDOM = [f"#{n:06x}" for n in np.random.default_rng(11).integers(0, 2**24, 12)]


def mean_of(picture: bytes, colour_science: ModuleType) -> np.ndarray:
    """Return the mean light of a picture as sRGB, 0 to 255, by colour-science."""
    with Image.open(io.BytesIO(picture)) as image:
        pixels = np.asarray(image.convert("RGB"), dtype=np.float64) / 255
    light = colour_science.models.eotf_sRGB(pixels).mean(axis=(0, 1))
    return 255 * np.asarray(colour_science.models.eotf_inverse_sRGB(light))


@pytest.mark.parametrize("colour", [*COLOURS, *RANDOM])
def test_the_mean_of_the_picture_is_exactly_the_colour(
    colour: str, colour_science: ModuleType
) -> None:
    # IEC 61966-2-1 as colour-science has it.
    mean = mean_of(solid(colour, id="new", name="New").picture, colour_science)
    assert "#{:02x}{:02x}{:02x}".format(*np.round(mean).astype(int)) == colour


@pytest.mark.parametrize("colour", VIVID)
def test_the_most_vivid_colours_are_off_by_a_step_at_most(
    colour: str, colour_science: ModuleType
) -> None:
    wanted = np.frombuffer(bytes.fromhex(colour[1:]), np.uint8)
    assert np.abs(mean_of(cloth(colour), colour_science) - wanted).max() < 1


@pytest.mark.parametrize("colour", COLOURS[:6])
def test_a_photo_of_that_cloth_would_be_read_as_the_solid(colour: str) -> None:
    told = solid(colour, id="told", name="Told")
    seen = read(told.picture, id="seen", name="Seen").fabric
    assert to_hex(seen.reads_as) == to_hex(told.fabric.reads_as) == colour
    assert closeness(seen, told.fabric) < 1.0
    assert seen.print_scale == told.fabric.print_scale == 0


def test_the_cloth_is_woven_but_quiet() -> None:
    with Image.open(io.BytesIO(cloth("#808080"))) as image:
        assert image.size == (PIXELS, PIXELS)
        grey = np.asarray(image.convert("L"), dtype=np.float64)
    assert 0.5 < grey.std() < 5
    # Threads cross every four pixels: plain weave repeats after two threads.
    power = np.abs(np.fft.rfft2(grey - grey.mean())) ** 2
    across, down = np.unravel_index(int(power.argmax()), power.shape)
    assert {int(across), int(down)} & {PIXELS // 8, PIXELS // 4, 3 * PIXELS // 4}


def test_equal_colours_share_a_picture_however_they_are_written() -> None:
    cloth.cache_clear()
    first = solid("#ffcc00", id="a", name="A").picture
    cloth.cache_clear()
    assert solid("FC0", id="b", name="B").picture == first
    assert solid("#ffcc01", id="c", name="C").picture != first


def test_nothing_about_a_told_colour_is_unsure() -> None:
    told = solid("#a83e32", id="told", name="Brick")
    fabric = told.fabric
    assert (fabric.name, fabric.warnings, told.reference) == ("Brick", (), None)
    assert len(fabric.colours) == 1
    assert fabric.colours[0].share == 1
    assert case(fabric, solid("#54703e", id="other", name="Other").fabric) is None


@pytest.mark.parametrize(
    "text", ["", "red", "#12345", "#1234567", "#12g456", " #a83e32", "#a83e32\n"]
)
def test_what_is_no_colour_is_told(text: str) -> None:
    with pytest.raises(ValueError, match="is not a colour; write # and six digits"):
        solid(text, id="new", name="New")

"""Margins of scans and shop pages, laid round made-up cloth."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from palette.colour import difference, light_to_lab, srgb_to_light
from palette.fabric import NotCloth, Side
from palette.photo.margins import without_margins
from palette.photo.read import read
from tests.bench import prints
from tests.palette.photo.test_read import encoded

SIZE = (480, 360)


def cloth(kind: str, seed: int = 7) -> Image.Image:
    rng = np.random.default_rng(seed)
    return prints.image(prints.photograph(prints.draw(kind, rng, *SIZE, 14), rng))


def framed(image: Image.Image, colour: tuple[int, int, int], upright: int, flat: int) -> bytes:
    page = Image.new("RGB", (image.width + 2 * upright, image.height + 2 * flat), colour)
    page.paste(image, (upright, flat))
    return encoded(page, "JPEG", quality=90)


def alone(image: Image.Image) -> np.ndarray:
    return light_to_lab(srgb_to_light(np.asarray(image) / 255).mean(axis=(0, 1)))


@pytest.mark.parametrize("kind", ["solid", "dots", "stripes", "floral"])
@pytest.mark.parametrize("colour", [(255, 255, 255), (0, 0, 0), (200, 30, 60), (238, 235, 230)])
@pytest.mark.parametrize("share", [0.02, 0.1, 0.4])
def test_a_margin_moves_no_colour(kind: str, colour: tuple[int, int, int], share: float) -> None:
    image = cloth(kind)
    data = framed(image, colour, int(share * SIZE[0] / 2) + 1, int(share * SIZE[1] / 2) + 1)
    fabric = read(data, id="a", name="A", white="auto").fabric
    assert difference(fabric.reads_as.array(), alone(image)) < 1
    if share > 0.05:  # a thinner one lies in the rim that is never read
        assert fabric.left_out[0].what is NotCloth.MARGIN
        assert fabric.left_out[0].sides == tuple(Side)


def test_a_shop_page_with_words_is_read_as_the_cloth_on_it() -> None:
    image = cloth("floral")
    page = Image.new("RGB", (900, 640), "white")
    page.paste(image, (60, 40))
    draw = ImageDraw.Draw(page)
    for line in range(4):
        draw.text((60, 480 + 16 * line), "Cotton, 44 in wide, washable, 12.50 a yard", fill="black")
    draw.rectangle((640, 100, 820, 140), fill=(200, 40, 40))
    fabric = read(encoded(page, "JPEG", quality=90), id="a", name="A").fabric
    assert difference(fabric.reads_as.array(), alone(image)) < 2


@pytest.mark.parametrize("kind", prints.KINDS)
def test_cloth_has_no_margin(kind: str) -> None:
    for seed in range(6):
        assert without_margins(np.asarray(cloth(kind, seed).reduce(2))) is None


def test_inside_a_margin_all_round_an_outermost_stripe_is_no_table() -> None:
    image = cloth("solid")
    codes = np.asarray(image).copy()
    codes[:24], codes[-24:], codes[:, :24], codes[:, -24:] = 90, 92, 88, 94
    data = framed(Image.fromarray(codes), (255, 255, 255), 40, 30)
    fabric = read(data, id="a", name="A").fabric
    assert [found.what for found in fabric.left_out] == [NotCloth.MARGIN]


def test_half_a_photo_in_one_colour_is_no_margin() -> None:
    codes = np.asarray(cloth("floral")).copy()
    codes[: SIZE[1] // 2] = 255
    assert without_margins(codes) is None

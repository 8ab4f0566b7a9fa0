"""A PNG shows the very pixels, packed by what suits the picture."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from api.drawing.encode import flat_png, photo_png


def noise() -> Image.Image:
    pixels = np.random.default_rng(7).normal(120, 20, (400, 500, 3))
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def repeated() -> Image.Image:
    tile = np.asarray(noise())[:40, :50]
    return Image.fromarray(np.tile(tile, (10, 10, 1)))


@pytest.mark.parametrize("image", [noise(), repeated(), noise().crop((0, 0, 500, 3))])
def test_what_was_packed_is_what_is_shown(image: Image.Image) -> None:
    for packed in (photo_png(image), flat_png(image)):
        shown = Image.open(BytesIO(packed))
        assert shown.format == "PNG"
        assert np.array_equal(np.asarray(shown), np.asarray(image))


def test_photographs_are_packed_by_runs_and_what_repeats_by_what_came_before() -> None:
    assert len(photo_png(noise())) < len(flat_png(noise()))
    assert photo_png(repeated()) == flat_png(repeated())
    by_runs = BytesIO()
    repeated().save(by_runs, "PNG", compress_type=3)
    assert len(photo_png(repeated())) < len(by_runs.getvalue()) / 2

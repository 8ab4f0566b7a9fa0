"""The pictures of a booklet that are not line drawings: the quilt, the cloths, her own photos."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from PIL import Image

from api.booklet.figures import canvas
from api.booklet.parts import Figure
from api.drawing.cloth import load_print
from api.drawing.png import png
from api.drawing.quilt import cloth_of, quilt_scene

if TYPE_CHECKING:
    from api.booklet.source import Source

QUILT_PIXELS = 1100
"""Across the quilt on the cover."""
_SWATCH_PIXELS = 190
_SWATCH_DENSITY = 200
"""Pixels an inch of paper."""
_PHOTO_PIXELS = 1600
_MOST_PHOTO = 50_000_000
"""Pixels of one of her own photos, read from its header."""


def quilt(source: Source, width: float, height: float) -> Figure:
    """Return the quilt's picture, as large as fits into width x height inches of paper."""
    from api.booklet.figures.quilts import layout_figure

    scene = quilt_scene(source.plan)
    scale = min(width / scene.width, height / scene.height)
    across, down = scene.width * scale, scene.height * scale
    if source.black:
        return layout_figure(source, width, height, scene.words, numbers=True)
    made = png(scene, source.pictures, "cloth", QUILT_PIXELS)
    return Figure(_jpeg(Image.open(BytesIO(made))), across, down, scene.words)


def swatch(source: Source, fabric: str, side: float) -> Figure:
    """Return a square of a fabric, ``side`` inches on paper."""
    cloth = cloth_of(source.swatch(fabric))
    alt = f"The fabric {source.name(fabric)}"
    picture = source.pictures.get(cloth.picture)
    if source.black or picture is None:
        square = canvas.cloth(canvas.box(0.01, 0.01, side - 0.02, side - 0.02),
                              source.colour(fabric), canvas.PALE)  # fmt: skip
        number = source.label(fabric)
        middle = (side / 2, side / 2)
        name = canvas.label(middle, number, 36 * side, source.ink_on(fabric)) * source.black
        return canvas.figure([square, name], side, side, alt)
    image = load_print(cloth, picture, 2 * _SWATCH_PIXELS / cloth.shows).image
    least, pixels = min(image.size), round(side * _SWATCH_DENSITY)
    shown = image.crop((0, 0, least, least)).resize((pixels, pixels))
    return Figure(_jpeg(shown), side, side, alt)


def own_photo(data: bytes, number: int, width: float, height: float) -> Figure:
    """Return one of the designer's own photos, made anew without what a camera adds to it.

    Raises
    ------
    ValueError
        If it is no JPEG or PNG, or has more than 50 megapixels.
    """
    try:
        with Image.open(BytesIO(data), formats=("JPEG", "PNG")) as opened:
            if opened.width * opened.height > _MOST_PHOTO:
                raise ValueError(f"photo {number} has more than 50 megapixels; make it smaller")
            opened.draft("RGB", (_PHOTO_PIXELS, _PHOTO_PIXELS))
            image = opened.convert("RGB")
    except (OSError, SyntaxError) as error:
        raise ValueError(f"photo {number} is no JPEG or PNG that can be opened") from error
    image.thumbnail((_PHOTO_PIXELS, _PHOTO_PIXELS))
    scale = min(width / image.width, height / image.height)
    across, down = image.width * scale, image.height * scale
    return Figure(_jpeg(image), across, down, f"Photo {number} of the finished quilt")


def _jpeg(image: Image.Image) -> bytes:
    out = BytesIO()
    image.convert("RGB").save(out, "JPEG", quality=85, optimize=True)
    return out.getvalue()

"""A fabric's picture in a smaller size, as a JPEG; as it is, or as cloth to draw with."""

from __future__ import annotations

from io import BytesIO

from PIL import Image

from api.drawing.cloth import TRIM, evenly_lit

_QUALITY = 85


def thumb(picture: bytes, width: int) -> bytes:
    """Return a stored picture at most so many pixels wide; as it is if it is no wider.

    Parameters
    ----------
    picture : bytes
        A cleaned JPEG, as the store keeps it.
    width : int
        Pixels.
    """
    with Image.open(BytesIO(picture), formats=("JPEG",)) as image:
        if image.width <= width:
            return picture
        height = max(1, round(image.height * width / image.width))
        # The decoder halves as long as the result stays twice as large as wanted.
        image.draft("RGB", (2 * width, 2 * height))
        small = image.convert("RGB").resize((width, height), Image.Resampling.LANCZOS)
    return _jpeg(small)


def tile(picture: bytes, width: int) -> bytes:
    """Return the good part of a stored picture, evenly lit, at most so many pixels wide.

    Repeats of it show no bands; drawings in other forms use the same (api.drawing.cloth).
    """
    with Image.open(BytesIO(picture), formats=("JPEG",)) as image:
        across = min(width, image.width)
        down = max(1, round(image.height * across / image.width))
        image.draft("RGB", (2 * across, 2 * down))
        ready = image.convert("RGB")
    wide, high = ready.size
    box = (TRIM * wide, TRIM * high, (1 - TRIM) * wide, (1 - TRIM) * high)
    return _jpeg(evenly_lit(ready.resize((across, down), Image.Resampling.LANCZOS, box)))


def _jpeg(image: Image.Image) -> bytes:
    out = BytesIO()
    image.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()

"""A fabric's picture in a smaller size, as a JPEG; as it is, or as cloth to draw with."""

from __future__ import annotations

from io import BytesIO

from PIL import Image

from api.drawing.cloth import evened

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
    even, across, down = evened(picture, width)
    shown = min(width, across)
    size = (shown, max(1, round(down * shown / across)))
    return _jpeg(even.resize(size, Image.Resampling.LANCZOS))


def _jpeg(image: Image.Image) -> bytes:
    out = BytesIO()
    image.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()

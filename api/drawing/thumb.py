"""A fabric's picture in a smaller size, as a JPEG."""

from __future__ import annotations

from io import BytesIO

from PIL import Image

_QUALITY = 85


def thumb(picture: bytes, width: int) -> bytes:
    """Return a stored picture at most so many pixels wide; as it is if it is no wider.

    Parameters
    ----------
    picture
        A cleaned JPEG, as the store keeps it.
    width
        Pixels.
    """
    with Image.open(BytesIO(picture), formats=("JPEG",)) as image:
        if image.width <= width:
            return picture
        height = max(1, round(image.height * width / image.width))
        # The decoder halves as long as the result stays twice as large as wanted.
        image.draft("RGB", (2 * width, 2 * height))
        small = image.convert("RGB").resize((width, height), Image.Resampling.LANCZOS)
    out = BytesIO()
    small.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()

"""Whether bytes are a picture as this program keeps it: pixels, their colours, nothing else."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

from PIL import Image

from palette.photo.open import PhotoError
from palette.photo.profile import meaning

if TYPE_CHECKING:
    from collections.abc import Iterator

LONGEST_SIDE = 2048
"""Pixels; more than any picture of cloth that is kept, with room for later versions."""
MOST_PIXELS = 4_000_000
"""Of the copy of a whole photo; it is never made of more."""

_START, _SCAN, _END = 0xD8, 0xDA, 0xD9
_JFIF = 0xE0
_PROFILE = 0xE2
_TABLES = {0xC0, 0xC1, 0xC2, 0xC4, 0xDB, 0xDD, _SCAN}
"""Marker codes (ITU-T T.81, table B.1) of frames, tables, restarts and scans."""
_NEXT = re.compile(rb"\xff[^\x00\xd0-\xd7]")
"""What ends a scan: a marker that is no stuffed byte and no restart."""

_FOREIGN = (
    "the picture {name} is not one that this program keeps ({why}); make the plan's file again"
)


def check_kept(data: bytes, name: str, *, photo: bool = False) -> None:
    """Make sure that bytes are a whole JPEG with nothing beside its pixels.

    No metadata, no comment, no thumbnail, and nothing after its end, where
    something else could hide. The copy of a whole photo may hold a colour
    profile that can be understood, as it comes with vivid colours.

    Parameters
    ----------
    data, name : bytes, str
        The picture, and a name to speak of it.
    photo : bool
        Whether it is the copy of a whole photo.

    Raises
    ------
    PhotoError
        Saying what is wrong.
    """
    try:
        for code, content in _segments(data):
            if not _belongs(code, content, photo=photo):
                raise _foreign(name, "it holds more than pixels")
        with Image.open(io.BytesIO(data), formats=("JPEG",)) as image:
            if not _fits(image.size, photo=photo) or image.mode != "RGB":
                raise _foreign(name, f"{image.width} x {image.height} pixels, {image.mode}")
            profile = image.info.get("icc_profile")
            if profile and meaning(profile) is None:
                raise _foreign(name, "its colour profile can't be understood")
            image.load()
    except PhotoError:
        raise
    except Exception:
        # Decoders fail in many ways on bytes made to make them fail.
        raise _foreign(name, "it is damaged or no JPEG") from None


def _belongs(code: int, content: bytes, *, photo: bool) -> bool:
    if code == _JFIF:
        return len(content) == 14 and content.startswith(b"JFIF\0")
    if code == _PROFILE:
        return photo and content.startswith(b"ICC_PROFILE\0")
    return code in _TABLES


def _fits(size: tuple[int, int], *, photo: bool) -> bool:
    return size[0] * size[1] <= MOST_PIXELS if photo else max(size) <= LONGEST_SIDE


def _foreign(name: str, why: str) -> PhotoError:
    return PhotoError(_FOREIGN.format(name=name, why=why))


def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield code and content of every segment (ITU-T T.81, B.1.1); ValueError if it is no JPEG."""
    if data[:2] != bytes((0xFF, _START)):
        raise ValueError("no start")
    at = 2
    while data[at : at + 2] != bytes((0xFF, _END)):
        if len(data) < at + 4 or data[at] != 0xFF:
            raise ValueError("no marker")
        code, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        yield code, data[at + 4 : at + 2 + length]
        at += 2 + length
        if code == _SCAN:
            found = _NEXT.search(data, at)
            if found is None:
                raise ValueError("no end")
            at = found.start()
    if at + 2 != len(data):
        raise ValueError("something after the end")

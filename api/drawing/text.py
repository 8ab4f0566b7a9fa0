"""Words on a picture: the typeface, what it can show, and lines that fit.

The typeface is Fira Sans (SIL Open Font License 1.1), made for small sizes, with the
Latin letters of European languages.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from importlib import resources
from io import BytesIO
from typing import Literal

from PIL import ImageFont

Weight = Literal["regular", "semibold"]
Font = ImageFont.FreeTypeFont

_MISSING = "\uffff"
"""No font has a letter for this: its picture is the box that stands for a missing one."""


@lru_cache(maxsize=32)
def font(size: int, weight: Weight = "regular") -> Font:
    """Return the typeface at a size in pixels."""
    file = resources.files("api.drawing") / "type" / f"fira-sans-{weight}.woff"
    # Basic layout is the same on every machine, whatever text libraries it has.
    return ImageFont.truetype(
        BytesIO(file.read_bytes()), size, layout_engine=ImageFont.Layout.BASIC
    )


@lru_cache(maxsize=4096)
def _known(sign: str) -> bool:
    face = font(20)
    return sign == " " or bytes(face.getmask(sign)) != bytes(face.getmask(_MISSING))


def showable(text: str, otherwise: str = "") -> str:
    """Return text as the typeface can show it, on one line.

    Letters it lacks lose their accents; what it still lacks is dropped. If no
    letter or digit is left of a text, ``otherwise`` stands in.

    >>> showable('Café  Vậy')
    'Café Vay'
    >>> showable('綿', 'fabric 3')
    'fabric 3'
    """
    kept = "".join(_shown(sign) for sign in unicodedata.normalize("NFC", text))
    kept = " ".join(kept.split())
    return kept if any(sign.isalnum() for sign in kept) else otherwise


def _shown(sign: str) -> str:
    if sign.isspace():
        return " "
    if _known(sign):
        return sign
    return "".join(part for part in unicodedata.normalize("NFKD", sign) if _known(part))


def wrap(text: str, face: Font, width: float, most: int | None = None) -> list[str]:
    """Break text into lines no wider than width pixels, at spaces if possible.

    With ``most``, the rest is cut off and the last line ends in three dots.
    """
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and face.getlength(joined) <= width:
            lines[-1] = joined
        else:
            lines += _broken(word, face, width)
    if most is None or len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and face.getlength(last + "...") > width:
        last = last[:-1]
    return [*lines[: most - 1], last.rstrip() + "..."]


def _broken(word: str, face: Font, width: float) -> list[str]:
    """Break a word that is wider than a line wherever the line ends."""
    parts = [""]
    for sign in word:
        if parts[-1] and face.getlength(parts[-1] + sign) > width:
            parts.append("")
        parts[-1] += sign
    return parts

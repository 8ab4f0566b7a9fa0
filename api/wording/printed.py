"""Lengths and counts as a pattern writes them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from api.wording import cutting as cutwords
from api.wording.english import length, measure

if TYPE_CHECKING:
    from placement.inches import Inches

_UNIT = re.compile(r"(?<=\d) in\b(?! all)")
_FRACTION = re.compile(r"(\d) (\d+/\d+)")
_BETWEEN = re.compile(r'(?<=["\dm]) x (?=\d)')


def marked(text: str) -> str:
    r"""Write the lengths of a sentence as quilters do, and let none break over a line.

    >>> marked('4 squares of 2 1/2 in').replace('\u00a0', '_')
    '4 squares of 2_1/2"'
    """
    text = _BETWEEN.sub("\u00a0×\u00a0", _UNIT.sub('"', text))
    return _FRACTION.sub("\\1\u00a0\\2", text).replace(" mm", "\u00a0mm").replace(" cm", "\u00a0cm")


def cut_size(cut: Inches | float, units: str) -> str:
    """Write a size to cut or to trim to: '2 1/2"', or '65 mm' in metric work."""
    return marked(measure(cut, units))


def cut_sizes(width: Inches, height: Inches, units: str) -> str:
    """Write a size to cut of two sides; one side alone for a square."""
    if width == height:
        return cut_size(width, units)
    return f"{cut_size(width, units)}\u00a0×\u00a0{cut_size(height, units)}"


def finished(inches: float, units: str) -> str:
    """Write a finished measure: '72 1/8"', or '183 cm' in metric work."""
    return marked(length(inches, units))


def counted(name: str, width: Inches, height: Inches, count: int, units: str) -> str:
    """Say how many pieces of what size: '2 squares of 9" for side triangles'."""
    said = "strip for strip sets" if name == "strip" else name
    return marked(cutwords.counted(said, *in_order(name, width, height), count, units))


def in_order(name: str, width: Inches, height: Inches) -> tuple[Inches, Inches]:
    """Return the sides of a piece as they are told: of a strip its width, then its length."""
    if name.partition(" for ")[0].endswith("strip") and height.value < width.value:
        return height, width
    return width, height

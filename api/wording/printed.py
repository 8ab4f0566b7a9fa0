"""Lengths and counts as a pattern writes them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from api.wording import cutting as cutwords
from api.wording import plan as summary
from placement.inches import Inches

_UNIT = re.compile(r"(?<=\d) in\b(?! all)")
_FRACTION = re.compile(r"(\d) (\d+/\d+)")
_BETWEEN = re.compile(r'(?<=["\dm]) x (?=\d)')


_JOINERS = "\u200c\u200d"
"""Format characters that some scripts need inside words."""


def clean(text: str) -> str:
    r"""Return text on one line, without characters that control or turn what follows.

    >>> clean('Rose\u202e  briar\n')
    'Rose briar'
    """
    kept = (
        " " if sign.isspace() else sign
        for sign in text
        if sign.isspace() or sign in _JOINERS or unicodedata.category(sign)[0] != "C"
    )
    return " ".join("".join(kept).split())


def marked(text: str) -> str:
    r"""Write the lengths of a sentence as quilters do, and let none break over a line.

    >>> marked('4 squares of 2 1/2 in').replace('\u00a0', '_')
    '4 squares of 2_1/2"'
    """
    text = _BETWEEN.sub("\u00a0×\u00a0", _UNIT.sub('"', text))
    return _FRACTION.sub("\\1\u00a0\\2", text).replace(" mm", "\u00a0mm").replace(" cm", "\u00a0cm")


def cut_size(cut: Inches | float, units: str) -> str:
    """Write a size to cut or to trim to: '2 1/2"', or '65 mm' in metric work."""
    return marked(cutwords.measure(cut, units))


def cut_sizes(width: Inches, height: Inches, units: str) -> str:
    """Write a size to cut of two sides; one side alone for a square."""
    if width == height:
        return cut_size(width, units)
    return f"{cut_size(width, units)}\u00a0×\u00a0{cut_size(height, units)}"


def finished(inches: float, units: str) -> str:
    """Write a finished measure: '72 1/8"', or '183 cm' in metric work."""
    return marked(summary.length(inches, units))


def counted(name: str, width: Inches, height: Inches, count: int, units: str) -> str:
    """Say how many pieces of what size: '2 squares of 9" for side triangles'."""
    said = "strip for strip sets" if name == "strip" else name
    return marked(cutwords.counted(said, *in_order(name, width, height), count, units))


def in_order(name: str, width: Inches, height: Inches) -> tuple[Inches, Inches]:
    """Return the sides of a piece as they are told: of a strip its width, then its length."""
    if name.partition(" for ")[0].endswith("strip") and height.value < width.value:
        return height, width
    return width, height


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does.

    >>> listed(['border', 'binding', 'blocks'])
    'border, binding and blocks'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def ranges(numbers: Sequence[int]) -> str:
    """Join numbers, those that follow each other as a range.

    >>> ranges([1, 2, 3, 5, 7, 8])
    '1–3, 5, 7 and 8'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] + 1 == number:
            runs[-1].append(number)
        else:
            runs.append([number])
    texts: list[str] = []
    for run in runs:
        texts += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return listed(texts)


def several(count: int, noun: str, plural: str = "") -> str:
    """Write a count with its noun: '1 goose', '4 geese'."""
    return f"{count} {noun if count == 1 else plural or noun + 's'}"


def capital(text: str) -> str:
    """Begin with a capital letter."""
    return text[:1].upper() + text[1:]

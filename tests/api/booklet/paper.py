"""Judges the pages of a PDF as paper: what is filled, how small type is, what lies in the margins.

PDFium draws the pages; nothing that set them is asked.
"""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Any

import numpy as np
import pypdfium2 as pdfium
from pypdfium2 import raw

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

MARGIN = 0.62
"""Inches on all sides that stay white, but for the line at the foot of a page."""
LEAST_TYPE = 7.0
"""Points."""
_DENSITY = 36
"""Pixels an inch."""
_GAP = 0.4
"""White that is higher than this stands empty, inches."""
_HEADING = 15.0
"""Points; larger type is a chapter's heading."""
_AFTER = 0.6
"""Something follows a heading within so much, inches."""


@dataclass(frozen=True, slots=True)
class Paper:
    """One page."""

    filled: float
    """Share of the height of its columns that something stands on, their mean."""
    margins: bool
    """Whether the margins are white."""
    least_type: float
    """Points of its smallest letter; infinite without any."""
    alone: tuple[str, ...]
    """Headings with nothing below them in their column."""


def papers(pdf: bytes) -> tuple[Paper, ...]:
    """Return what every page of a PDF is like."""
    document = pdfium.PdfDocument(pdf)
    return tuple(_paper(document[number], cover=number == 0) for number in range(len(document)))


def _paper(page: Any, *, cover: bool) -> Paper:
    drawn = page.render(scale=_DENSITY / 72, grayscale=True).to_pil()
    ink = np.asarray(drawn) < 245
    edge = round(MARGIN * _DENSITY)
    inner = ink[edge:-edge, edge:-edge]
    # At the foot stand the title and the number.
    foot = 0 if cover else round(0.45 * _DENSITY)
    sides = np.concatenate((ink[:, : edge - 1].ravel(), ink[:, -edge + 1 :].ravel()))
    ends = np.concatenate((ink[: edge - 1].ravel(), ink[ink.shape[0] - edge + 1 + foot :].ravel()))
    middle = inner.shape[1] // 2
    letters = list(_letters(page))
    return Paper(
        (_share(inner[:, :middle]) + _share(inner[:, middle:])) / 2,
        not (sides.any() or ends.any()),
        min((size for size, *_ in letters), default=float("inf")),
        tuple(_alone(letters, ink, page.get_height())) if not cover else (),
    )


def _share(ink: NDArray[np.bool_]) -> float:
    """Return how much of a column's height is filled; gaps between lines are."""
    rows = np.flatnonzero(ink.any(axis=1))
    edges = np.concatenate(([-1], rows, [ink.shape[0]]))
    gaps = np.diff(edges) - 1
    return 1 - float(gaps[gaps > _GAP * _DENSITY].sum()) / ink.shape[0]


def _letters(page: Any) -> Iterator[tuple[float, float, float, str]]:
    """Yield size in points, left and bottom in points from the lower left, and the letter."""
    text = page.get_textpage()
    matrix = raw.FS_MATRIX()
    for number in range(text.count_chars()):
        sign = chr(raw.FPDFText_GetUnicode(text, number))
        if sign.isspace() or not sign.isprintable():
            continue
        raw.FPDFText_GetMatrix(text, number, ctypes.byref(matrix))
        left, bottom, *_ = text.get_charbox(number)
        size = raw.FPDFText_GetFontSize(text, number) * hypot(matrix.c, matrix.d)
        yield size, left, bottom, sign


def _alone(
    letters: list[tuple[float, float, float, str]], ink: NDArray[np.bool_], height: float
) -> Iterator[str]:
    """Yield the headings of chapters that nothing follows in their column."""
    lines: dict[int, list[tuple[float, str]]] = {}
    for size, left, bottom, sign in letters:
        if size >= _HEADING:
            lines.setdefault(round(bottom / 8), []).append((left, sign))
    scale = _DENSITY / 72
    for line, signs in lines.items():
        first = min(left for left, _ in signs)
        below = round((height - 8 * line) * scale) + 3
        column = ink[below : below + round(_AFTER * _DENSITY), round(first * scale) :]
        if not column[:, : round(3 * _DENSITY)].any():
            yield "".join(sign for _, sign in sorted(signs))

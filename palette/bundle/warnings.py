"""What may be wrong with what was found in a photo, and what to do, in plain words."""

from __future__ import annotations

import numpy as np

from palette.bundle.result import Found, Piece, in_rows

NO_TABLE = (
    "No table was seen round the bundle, so the whole photo was divided. Move its corners, or "
    "photograph it with a hand's breadth of table all round."
)
NO_CARD = (
    "The white card was not told from other white things. Show where it lies, so that colours are "
    "corrected by it, or lay it on a table of another colour."
)
_NOTHING = (
    "No fabric stands out from the table. Lay them on a plain table of another colour with gaps "
    "between them, or tap each fabric in the photo."
)
_SMALLEST = 40
"""Pixels across or down below which a print can't be told."""
_TWICE = 1.7
"""Times the usual area from which on a piece may be two fabrics."""
_EDGE = 0.004
"""Part of the photo that counts as its very edge."""


def notes(found: Found) -> tuple[str, ...]:
    """Say what may be wrong."""
    if not found.pieces:
        return (_NOTHING,)
    kinds = (_missing, _cut_off, _small, _two) if found.kind == "spread" else (_cut_off, _small)
    told = (kind(found) for kind in kinds)
    return tuple(words for words in told if words)


def _missing(found: Found) -> str:
    """Say where a row holds fewer fabrics than the others; the last one may."""
    counts = [len(row) for row in in_rows([piece.quad for piece in found.pieces])]
    full = max(counts)
    short = [number for number, count in enumerate(counts[:-1], 1) if count < full]
    # Of fabrics that lie in no rows nothing can be told.
    if not short or counts.count(full) < len(counts) / 2:
        return ""
    return (
        f"Row {short[0]} holds {counts[short[0] - 1]} fabrics and others {full}. If one lies there "
        "that looks like the table, tap it."
    )


def _cut_off(found: Found) -> str:
    at_edge = [piece for piece in found.pieces if _reaches_edge(piece)]
    if not at_edge:
        return ""
    return (
        f"{_listed(at_edge)} at the edge of the photo and may be cut off. Leave a hand's breadth "
        "of table all round the bundle."
    )


def _small(found: Found) -> str:
    small = [
        piece
        for number, piece in enumerate(found.pieces)
        if min(found.inner(number).sides(found.width, found.height)) < _SMALLEST
    ]
    if not small:
        return ""
    return (
        f"{_listed(small)} small in the photo, so a print can't be told well. Go closer, or "
        "photograph the bundle in two parts."
    )


def _two(found: Found) -> str:
    areas = np.array([piece.quad.area for piece in found.pieces])
    large = [
        piece
        for piece, area in zip(found.pieces, areas, strict=True)
        if area > _TWICE * np.median(areas)
    ]
    if not large:
        return ""
    return f"{_listed(large)} much larger than the others. If two fabrics touch there, split it."


def _reaches_edge(piece: Piece) -> bool:
    corners = piece.quad.array()
    return bool((corners < _EDGE).any() or (corners > 1 - _EDGE).any())


def _listed(pieces: list[Piece]) -> str:
    names = [piece.name for piece in pieces]
    if len(names) == 1:
        return f"{names[0]} is"
    if len(names) > 4:
        return f"{names[0]}, {names[1]} and {len(names) - 2} more are"
    return f"{', '.join(names[:-1])} and {names[-1]} are"

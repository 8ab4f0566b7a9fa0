"""What may be wrong with what was found in the photo of a bundle."""

from __future__ import annotations

import numpy as np

from palette.bundle.result import BundleFault, BundleWarning, Found, Piece, in_rows

_SMALLEST = 40
"""Pixels across or down below which a print can't be told."""
_TWICE = 1.7
"""Times the usual area from which on a piece may be two fabrics."""
_THIRD = 0.35
"""Times the usual area up to which a piece may be a part of a fabric, or none."""
_EDGE = 0.004
"""Part of the photo that counts as its very edge."""


def notes(found: Found) -> tuple[BundleWarning, ...]:
    """Return what may be wrong."""
    if not found.pieces:
        return (BundleWarning(BundleFault.NOTHING),)
    kinds = (
        (_missing, _cut_off, _small, _two, _fragments)
        if found.kind == "spread"
        else (_cut_off, _small)
    )
    told = (kind(found) for kind in kinds)
    return tuple(warning for warning in told if warning)


def _missing(found: Found) -> BundleWarning | None:
    """Tell where a row holds fewer fabrics than the others; the last one may."""
    counts = [len(row) for row in in_rows([piece.quad for piece in found.pieces])]
    full = max(counts)
    short = [number for number, count in enumerate(counts[:-1], 1) if count < full]
    # Of fabrics that lie in no rows nothing can be told.
    if not short or counts.count(full) < len(counts) / 2:
        return None
    row = short[0]
    return BundleWarning(BundleFault.SHORT_ROW, row=row, holds=counts[row - 1], others=full)


def _cut_off(found: Found) -> BundleWarning | None:
    return _of(BundleFault.CUT_OFF, [_reaches_edge(piece) for piece in found.pieces])


def _small(found: Found) -> BundleWarning | None:
    size = found.width, found.height
    sides = [min(found.inner(number).sides(*size)) for number in range(len(found.pieces))]
    return _of(BundleFault.SMALL, [side < _SMALLEST for side in sides])


def _two(found: Found) -> BundleWarning | None:
    areas = np.array([piece.quad.area for piece in found.pieces])
    return _of(BundleFault.TWO_IN_ONE, (areas > _TWICE * np.median(areas)).tolist())


def _fragments(found: Found) -> BundleWarning | None:
    areas = np.array([piece.quad.area for piece in found.pieces])
    return _of(BundleFault.FRAGMENT, (areas < _THIRD * np.median(areas)).tolist())


def _of(fault: BundleFault, marked: list[bool]) -> BundleWarning | None:
    """Warn of the pieces that are marked, if any are."""
    pieces = tuple(number for number, yes in enumerate(marked) if yes)
    return BundleWarning(fault, pieces) if pieces else None


def _reaches_edge(piece: Piece) -> bool:
    corners = piece.quad.array()
    return bool((corners < _EDGE).any() or (corners > 1 - _EDGE).any())

"""Pieces that are whole pre-cuts: they are taken as they come, and nothing is cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from placement.cloth.cutting import Cut, CutKind, CuttingPlan, Then

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from placement.cloth.cutting import Piece
    from placement.cloth.forms import Form
    from placement.inches import Inches

_TRIANGLES = (Then.TWO, Then.CUT_ONCE, Then.CUT_TWICE)


def taken_whole(plan: CuttingPlan) -> frozenset[int]:
    """Return the numbers of the pieces that are a whole pre-cut each."""
    form = plan.cloth.form
    return frozenset(
        cut.number
        for cut in plan.cuts
        if cut.kind is CutKind.PIECE and (cut.width, cut.height) == (form.width, form.height)
    )


def nothing_cut(plan: CuttingPlan) -> bool:
    """Whether every piece is a whole pre-cut, so that no cloth is cut."""
    whole = taken_whole(plan)
    return bool(whole) and all(cut.number in whole for cut in _pieces(plan.cuts))


def _pieces(cuts: Iterable[Cut]) -> Iterator[Cut]:
    return (cut for cut in cuts if cut.kind is CutKind.PIECE)


def may_stay_whole(piece: Piece, form: Form, most: Inches) -> bool:
    """Whether a square for triangles may be a whole square pre-cut, its units trimmed after sewing.

    Parameters
    ----------
    piece : Piece
        What is cut from the square.
    form : Form
        What the square is.
    most : Inches
        How much larger it may be, so that no more than a trimming is lost.
    """
    if not form.square or piece.width != piece.height or piece.then not in _TRIANGLES:
        return False
    return 0 < form.width.value - piece.width.value <= most.value

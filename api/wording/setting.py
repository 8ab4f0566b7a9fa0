"""Sashing and setting triangles in words: what is cut between and beside the blocks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import capital, number
from api.wording.pieces import Hand, hand
from placement import sizes
from placement.cloth.cutting import PieceKind, Use
from placement.inches import Inches
from placement.top.setting.triangles import (
    OwnSquare,
    SettingSquares,
    Triangle,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan


def sashing(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each kind of strip and cornerstone, and how they are pressed."""
    found, told = book.sashing, hand(plan, book)
    if found is None:
        return
    wide = found.cut[1]
    yield f"{told.counted(Use(PieceKind.SASH), *found.cut, found.strips)}, one block long."
    if found.long:
        cut = told.lengths.cut
        lengths = ", ".join(f"{count} of {cut(long)}" for long, count in found.long)
        pointed = plan.brief.setting.kind == "on point"
        trimmed = ", and trim them with the quilt's edges" * pointed
        yield (
            f"Long sashing strips between the rows: {lengths}; join strips where the cloth is "
            f"not as wide{trimmed}."
        )
    if found.cornerstones:
        yield f"{told.counted(Use(PieceKind.CORNERSTONE), wide, wide, found.cornerstones)}."
    if found.half_cornerstones:
        square = found.half_square
        use = Use(PieceKind.HALF_CORNERSTONE)
        yield (
            f"{number(found.half_cornerstones, 'half cornerstone')} at the quilt's edge: cut "
            f"{told.counted(use, square, square, found.half_squares)}, each twice on the "
            "diagonals, which puts the straight grain on the quilt's edge."
        )
    if found.cornerstones or found.half_cornerstones:
        yield "Press toward the strips, in the rows of blocks and between them; all seams nest."
    else:
        yield "Press toward the strips."


def setting(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each kind of setting square, and for each one of her own size."""
    told = hand(plan, book)
    for squares in book.setting:
        yield setting_sentence(squares, told)
    for own in book.own:
        yield own_sentence(own, told)
    yield from _trim(plan, book, told)


def floating(brief: Brief) -> Inches | float:
    """Return how far blocks float: as asked for, or as far as squares of her own size reach."""
    asked = brief.sewing.floating
    return asked if brief.beyond >= float(asked) else brief.beyond


def trimmed(brief: Brief) -> Inches | float:
    """Return how far outside the points the edges are trimmed."""
    seam, out = brief.sewing.seam, floating(brief)
    return Inches(seam.value + out.value) if isinstance(out, Inches) else float(seam) + out


def _trim(plan: Plan, book: CutBook, told: Hand) -> Iterator[str]:
    """Say where the edges are trimmed, how far blocks float and what becomes of the size."""
    brief, lengths = plan.brief, told.lengths
    if not book.setting:
        return
    out, asked = floating(brief), brief.sewing.floating
    reach = min((float(each.cut) - each.exact) / 2 for each in book.setting)
    if brief.setting.sashing.value and asked.value:
        yield (
            "Between sashing blocks do not float: trim the edges "
            f"{lengths.cut(brief.sewing.seam)} outside the points of the sashing."
        )
    elif float(out) > 0:
        less = "" if out is asked else (
            f" ({lengths.cut(asked)} was asked for; your own squares reach no further)"
        )  # fmt: skip
        outside, by = (_exact(length, told) for length in (trimmed(brief), out))
        yield (
            f"Once the top is sewn, trim its edges {outside} outside the "
            f"points: the blocks float by {by}{less}, and the quilt grows from "
            f"{_size(brief, 0.0, told)} to {_size(brief, brief.beyond, told)}."
        )
    elif float(out) < 0:
        yield (
            f"Trim the edges even with the triangles: the quilt gets smaller, from "
            f"{_size(brief, 0.0, told)} to {_size(brief, brief.beyond, told)}."
        )
    elif reach >= float(sizes.EIGHTH):
        yield (
            f"Once the top is sewn, trim its edges {lengths.cut(brief.sewing.seam)} outside the "
            f"points; the finished size stays. Untrimmed, the blocks would float by "
            f"{lengths.exact(reach, 3)}."
        )


def _exact(length: Inches | float, told: Hand) -> str:
    """Write a length that was asked for, or one that follows, with its decimals."""
    if isinstance(length, Inches):
        return told.lengths.cut(length)
    return told.lengths.exact(length, 3)


def _size(brief: Brief, beyond: float, told: Hand) -> str:
    """Write the finished size of the quilt with its edges so far beyond the points."""
    more = 2 * (beyond - brief.beyond)
    return told.lengths.by(*(told.lengths.finished(side + more) for side in brief.size()))


_TRIANGLES = {Triangle.SIDE: "side triangle", Triangle.CORNER: "corner triangle"}


def setting_sentence(squares: SettingSquares, told: Hand) -> str:
    """Say what to cut for side or corner triangles, beside the exact value and the rule."""
    side, lengths = squares.kind is Triangle.SIDE, told.lengths
    grain = "the quilt's edge" if side else "the corner's two edges"
    line = (
        f"{number(squares.triangles, _TRIANGLES[squares.kind])}: cut "
        f"{number(squares.squares, 'square')} of {lengths.cut(squares.cut)}, each "
        f"{'twice' if side else 'once'} on the diagonal, which puts the "
        f"straight grain on {grain} (exact: {lengths.exact(squares.exact, 4)}"
    )
    metric = lengths.units == "metric"
    rule = "" if metric else f"; rule of thumb: {lengths.exact(squares.rule, 3)}"
    return f"{line}{rule})."


def own_sentence(own: OwnSquare, told: Hand) -> str:
    """Say what a square of one's own size does to the points of the blocks."""
    lengths = told.lengths
    much = lengths.exact(abs(own.loss), 3)
    line = f"{capital(_TRIANGLES[own.kind])}s from {lengths.cut(own.cut)} squares"
    if own.loss > 0:
        return (
            f"{line} blunt the block points by {much}; they suit blocks up to "
            f"{lengths.cut(own.largest_unfinished)} unfinished. Measure a sewn block first."
        )
    return f"{line} clear the block points by {much}."

"""How sashing is sewn: the strips of each row, the lines between rows, and what they take."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.booklet.figures.rows import Line, lines
from api.wording import english
from placement.cloth.cutting import PieceKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from api.booklet.source import Source
    from placement.inches import Inches
    from placement.top.setting.finishing import Sashing


def row_steps(source: Source, found: Sashing) -> Iterator[str]:
    """Yield how the rows of blocks take their strips."""
    size = source.sides(*found.cut[::-1])
    yield f"Lay a sashing strip, {size}, before, between and after the blocks of each row."
    if source.layout.setting.kind == "straight":
        yield "Sew the blocks and strips of each row side by side."
    else:
        yield (
            "Sew the blocks and strips of each row side by side, then the side triangles to its "
            "ends, their square corners even with the strips."
        )
    yield "Press toward the sashing."


def line_steps(source: Source, found: Sashing) -> Iterator[str]:
    """Yield how the lines of sashing are made and sewn between the rows."""
    made = lines(source.layout)
    pointed = source.layout.setting.kind == "on point"
    if found.long:
        yield from _long(source, found)
    else:
        if pointed:
            yield (
                f"Cut {english.number(found.half_squares, 'square')} of "
                f"{source.cut(found.half_square)} twice, on both diagonals, for "
                f"{english.number(found.half_cornerstones, 'half cornerstone')}."
            )
        yield from _alternating(made, pointed=pointed)
        yield "Press toward the strips."
    count = english.number(len(made), "line")
    yield (
        f"Sew the {count} of sashing before, between and after the rows"
        f"{', nesting the seams' if not found.long else ''}."
    )
    yield "Press toward the sashing."


def _long(source: Source, found: Sashing) -> Iterator[str]:
    wide = source.cut(found.cut[1])
    pieces = source.book.pieces
    joined = next((p for p in pieces if p.kind is PieceKind.JOINED_SASH), None)
    whole = {piece.width for piece in pieces if piece.kind is PieceKind.LONG_SASH}
    longer = [entry for entry in found.long if entry[0] not in whole]
    if joined:
        strips = english.number(joined.count, "strip")
        yield (
            f"Join {strips} for long sashing end to end, {wide} wide, press the seams open and "
            f"cut from them {_lengths(source, longer)}."
        )
    ready = [entry for entry in found.long if entry not in longer]
    if ready:
        yield f"Take the long sashing strips, {wide} wide: {_lengths(source, ready)}."
    if source.layout.setting.kind == "on point":
        yield "Lay the shortest at two corners of the quilt and the longest in the middle."
        yield "Centre each long strip on its row; its ends reach over the quilt's edge."


def _lengths(source: Source, long: Sequence[tuple[Inches, int]]) -> str:
    return english.listed([f"{count} of {source.cut(length)}" for length, count in long])


def _alternating(made: tuple[Line, ...], *, pointed: bool) -> Iterator[str]:
    """Yield how strips and cornerstones make the lines between the rows."""
    kinds = Counter(line.strips for line in made)
    ends = "half a cornerstone" if pointed else "a cornerstone"
    lines_said = english.number(len(made), "line")
    if len(kinds) == 1:
        strips = english.number(made[0].strips, "strip")
        yield (
            f"Make {lines_said} of sashing: sew {strips} and the cornerstones by turns, with "
            f"{ends} at each end."
        )
        return
    each = [f"{n} of {english.number(strips, 'strip')}" for strips, n in sorted(kinds.items())]
    yield (
        f"Make {lines_said} of sashing: sew strips and cornerstones by turns, with {ends} at each "
        f"end; {english.listed(each)}."
    )

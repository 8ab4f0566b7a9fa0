"""How sashing is sewn: the strips of each row, the lines between rows, and what they take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from api.booklet import words
from api.booklet.rows import Line, lines
from api.booklet.source import Source
from placement.top.finishing import Sashing


def row_steps(source: Source, found: Sashing) -> Iterator[str]:
    """Yield how the rows of blocks take their strips."""
    size = words.cut_sizes(*found.cut, source.units)
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
                f"Cut {words.several(found.half_squares, 'square')} of "
                f"{source.cut(found.half_square)} twice, on both diagonals, for "
                f"{words.several(found.half_cornerstones, 'half cornerstone')}."
            )
        yield _alternating(made, pointed=pointed)
        yield "Press toward the strips."
    count = words.several(len(made), "line")
    yield (
        f"Sew the {count} of sashing before, between and after the rows"
        f"{', nesting the seams' if not found.long else ''}."
    )
    yield "Press toward the sashing."


def _long(source: Source, found: Sashing) -> Iterator[str]:
    wide = source.cut(found.cut[1])
    lengths = words.listed([f"{count} of {source.cut(length)}" for length, count in found.long])
    join = (
        "Join strips end to end where the cloth is not as wide, and cut"
        if _joined(source)
        else "Take"
    )
    yield f"{join} long sashing strips, {wide} wide: {lengths}."
    if source.layout.setting.kind == "on point":
        yield "Centre each long strip on its row; its ends reach over the quilt's edge."


def _joined(source: Source) -> bool:
    return any(piece.name == "strip for long sashing" for piece in source.book.pieces)


def _alternating(made: tuple[Line, ...], *, pointed: bool) -> str:
    kinds = Counter(line.strips for line in made)
    each = words.listed(
        [
            f"{count} with {words.several(strips, 'strip')}"
            for strips, count in sorted(kinds.items())
        ]
    )
    ends = "half a cornerstone" if pointed else "a cornerstone"
    return (
        f"Sew lines of sashing, strips and cornerstones by turns with {ends} at each end: {each}."
    )

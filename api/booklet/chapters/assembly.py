"""The layout: which block lies where, and how the rows are sewn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.chapters.sashing import line_steps, row_steps
from api.booklet.figures.quilts import rows_figure
from api.booklet.figures.rows import Row, rows
from api.booklet.parts import Chapter, Figure, Gallery, Part, Steps, Table, Words
from api.wording import english
from api.wording.setting import floating, trimmed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source

_ROOM = (6.9, 6.1)
"""For the drawing of the rows, inches of paper."""


def assembly(source: Source) -> Chapter:
    """Return the chapter on the layout: the rows, drawn and listed, and how they are sewn."""
    found = rows(source.layout)
    pointed = source.layout.setting.kind == "on point"
    columns = ("Row", "Begins", "Blocks", "Ends") if pointed else ("Row", "Blocks")
    listed = tuple(_listed(source, row, pointed=pointed) for row in found)
    parts: list[Part] = [
        Gallery((rows_figure(source, *_ROOM),), across=True),
        Words((_opening(source, pointed=pointed),)),
        Steps(tuple(_steps(source, found, pointed=pointed))),
        Words((_reading(source, pointed=pointed),), small=True),
        Table(columns, listed, (2,) if pointed else (1,)),
    ]
    return Chapter("Layout", tuple(parts))


def _opening(source: Source, *, pointed: bool) -> str:
    setting = source.layout.setting
    how = "on point, in diagonal rows" if pointed else "in straight rows"
    count = english.number(setting.block_count, "block")
    return f"{count} are set {how}: {setting.across} across and {setting.down} down."


def _reading(source: Source, *, pointed: bool) -> str:
    way = "from bottom left to top right" if pointed else "from left to right"
    line = f"Numbers are those of the fabric key; each row reads {way}."
    if any(plain for row in rows(source.layout) for plain in _plain(source, row)):
        line += " B is a plain block."
    if source.marked():
        line += f" {_mark_words(source)}"
    return line


def _mark_words(source: Source) -> str:
    turn = source.book.pressing.turn
    if turn:
        return f"A dot marks a block that is turned {'half' if turn == 180 else 'a quarter'} round."
    return "A dot marks a block of the second pressing."


def _plain(source: Source, row: Row) -> Iterator[bool]:
    """Yield for each block of a row whether it is plain."""
    fabrics = dict(zip(source.layout.setting.cells(), source.layout.fabrics, strict=True))
    for cell in row.cells:
        yield not fabrics.get(cell)


def _listed(source: Source, row: Row, *, pointed: bool) -> tuple[str | Figure, ...]:
    cells = {cell: number for number, cell in enumerate(source.layout.setting.cells())}
    marked = source.marked()
    blocks = []
    for cell in row.cells:
        number = cells.get(cell)
        fabric = source.layout.fabrics[number] if number is not None else ""
        text = str(source.numbers[fabric]) if fabric else "B"
        blocks.append(text + ("•" if fabric and number in marked else ""))
    line = "  ".join(blocks)
    if not pointed:
        return str(row.number), line
    start, end = ("triangle" if shape else "—" for shape in row.ends)
    return str(row.number), start, line, end


def _steps(source: Source, found: tuple[Row, ...], *, pointed: bool) -> Iterator[str]:
    setting = source.layout.setting
    count, single = len(found), all(len(row.cells) == 1 for row in found)
    rows_said = "" if single else f", in {english.number(count, 'row')}"
    yield f"Lay out all blocks as drawn{rows_said}, and stand back to look."
    if source.marked():
        yield _turning(source)
    if pointed:
        yield (
            f"Lay {english.number(setting.side_triangles, 'side triangle')} at the ends of the "
            "rows, long edge outward."
        )
    sashing = source.book.sashing
    if sashing:
        yield from row_steps(source, sashing)
    elif not single or pointed:
        yield _side_by_side(pointed=pointed)
        yield _press_rows(count)
    if pointed:
        yield "Iron blocks with the grain, at 45° to the quilt's edge; triangles along the edge."
    if sashing:
        yield from line_steps(source, sashing)
    elif count > 1:
        what = "blocks one below the other" if single and not pointed else "rows together"
        yield f"Sew the {what}, nesting the seams."
        yield "Press the long seams to one side."
    if pointed:
        yield (
            f"Sew on {english.number(setting.corner_triangles, 'corner triangle')} last and press "
            "toward them."
        )
        yield _trimming(source)
    wide, high = (source.cut(side) for side in top_size(source))
    yield f"The quilt top now measures about {wide} × {high}, seam allowance included."


def _trimming(source: Source) -> str:
    what = "sashing" if source.book.sashing else "blocks"
    scant, brief = _scant(source), source.plan.brief
    if not scant:
        line = f"Trim the edges straight, {{}} outside the points of the {what}"
        if brief.beyond <= 0:
            return f"{line.format(source.cut(source.seam))}."
        floats = source.cut(floating(brief))
        return f"{line.format(source.cut(trimmed(brief)))}: they float by {floats}."
    loss, kind = scant
    return (
        f"Trim the edges straight, even with the {kind} triangles: from squares of your own size, "
        f"they blunt the points of the {what} by {_loss_words(source, loss)} at the edges, and the "
        "quilt gets smaller by as much on every side."
    )


def _loss_words(source: Source, loss: float) -> str:
    least = source.finished(0.125 if source.units == "inches" else 5 / 25.4)
    about = source.finished(loss)
    return f"less than {least}" if about == source.finished(0) else f"about {about}"


def _scant(source: Source) -> tuple[float, str] | None:
    """Return how much the scantest squares of one's own take from every side, and whose."""
    there = {squares.kind for squares in source.book.setting}
    losses = [(own.loss, str(own.kind)) for own in source.book.own
              if own.loss > 0 and own.kind in there]  # fmt: skip
    return max(losses, default=None)


def top_size(source: Source) -> tuple[float, float]:
    """Return width and height of the blocks sewn together with their seam allowance, inches."""
    wide, high = source.plan.brief.centre()
    return wide + 2 * float(source.seam), high + 2 * float(source.seam)


def _press_rows(count: int) -> str:
    if count == 1:
        return "Press the seams to one side."
    return "Press the seams of every other row one way and of the rows between the other way."


def _side_by_side(*, pointed: bool) -> str:
    if not pointed:
        return "Sew the blocks of each row side by side."
    return (
        "Sew the blocks and triangles of each row side by side, the triangles' square corners "
        "even with the blocks."
    )


def _turning(source: Source) -> str:
    pressing = source.book.pressing
    marked = english.number(len(source.marked()), "block")
    if pressing.turn:
        by = "a quarter" if pressing.turn == 90 else "half"
        return f"Turn the {marked} marked with a dot {by} round."
    return f"Lay the {marked} of the second pressing where a dot is drawn."

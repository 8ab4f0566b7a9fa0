"""Every word of a booklet in reading order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.lengths import flat
from api.booklet.parts import Booklet, Bullets, Figure, Gallery, Heading, Part, Steps, Table, Words

if TYPE_CHECKING:
    from collections.abc import Iterator


def text_of(made: Booklet) -> str:
    """Return every word of a booklet in reading order, on one line."""
    lines = [made.title, made.designer, *(words for fact in made.facts for words in fact)]
    for chapter in made.chapters:
        lines.append(chapter.title)
        for part in chapter.parts:
            lines.extend(_words(part))
    # What cannot be seen keeps the numbers of two cells apart.
    return flat(" \u200b ".join(lines))


def _words(part: Part) -> Iterator[str]:
    match part:
        case Words() | Bullets():
            yield from part.lines
        case Heading():
            yield part.text
        case Steps():
            yield from (figure.caption for figure in part.figures)
            yield from part.lines
        case Table():
            yield from part.columns
            for row in part.rows:
                yield from (cell.caption if isinstance(cell, Figure) else cell for cell in row)
        case Gallery():
            yield from (figure.caption for figure in part.figures)

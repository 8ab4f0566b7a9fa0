"""Other forms of cloth that the pattern can be cut from: what each takes, and how it is cut."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.booklet.chapters.cutting import cut_steps, drawings
from api.booklet.parts import Bullets, Chapter, Gallery, Heading, Part, Steps, Words
from api.pattern.alternates import chosen_forms
from api.wording.alternates import cutting_of, form_sentence, of_another_way

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source
    from placement.cloth.alternates import Alternate


def needed(source: Source) -> Iterator[Part]:
    """Yield what other forms of cloth were chosen, and how much of each is needed."""
    chosen = chosen_forms(source.plan, source.book)
    if chosen:
        yield Heading("Other forms of cloth")
        yield Words(("Instead of what is told above, the blocks' fabrics may come as",))
        yield Bullets(tuple(form_sentence(each, source.hand) for each in chosen))


def cutting_otherwise(source: Source) -> Iterator[Chapter]:
    """Yield the chapter on cutting other forms of cloth; nothing where all are cut alike."""
    parts: list[Part] = []
    for each in of_another_way(chosen_forms(source.plan, source.book)):
        parts += _cut(source, each)
    if parts:
        yield Chapter("Cutting from other cloth", tuple(parts), new_page=False)


def _cut(source: Source, told: Alternate) -> Iterator[Part]:
    """Yield how a fabric's blocks are cut from a form."""
    if told.share is None:
        return
    heading, *_ = cutting_of(told, source.hand)
    first = next(iter(source.numbers))
    plan = replace(told.share.plan, fabric=first)
    yield Heading(heading)
    yield Steps(tuple(cut_steps(source, plan, told.share.pieces)))
    yield Gallery(tuple(drawings(source, plan, heading)))

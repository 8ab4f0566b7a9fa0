"""A plan, its pictures and what the designer adds, put together as a booklet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.booklet.chapters.alternates import cutting_otherwise, needed
from api.booklet.chapters.assembly import assembly
from api.booklet.chapters.before import before
from api.booklet.chapters.cutting import cutting
from api.booklet.chapters.finish import borders, colouring, quilting
from api.booklet.chapters.needs import needs
from api.booklet.chapters.piecing import piecing
from api.booklet.figures import photos
from api.booklet.judging.judge import judge_print
from api.booklet.judging.words import text_of
from api.booklet.parts import Booklet, Chapter, Figure, Gallery, Part, Words
from api.booklet.source import Source, source
from api.pattern.alternates import chosen_forms
from api.pattern.faulty import FaultsError
from api.pattern.skill import skill
from api.wording import english
from api.wording.pieces import form_name, forms
from api.wording.plan import sashed
from api.wording.skill import skill_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from api.booklet.edition import Edition
    from api.pattern.plan import Plan
    from placement.cloth.forms import FormKind

_SHORT = 900
"""Characters of an introduction after which the list of what is needed opens a page."""


def booklet(plan: Plan, pictures: Mapping[str, bytes], edition: Edition) -> Booklet:
    """Return a plan's booklet as values.

    Raises
    ------
    ValueError
        If the plan has no layout or background, or something can't be cut.
    FaultsError
        If a judge finds fault with what is cut, or with what the booklet says of it.
    """
    ready = source(plan, pictures, edition)
    brief = ready.plan.brief
    title = english.clean(edition.title or brief.title) or "Untitled quilt"
    wide, high = (ready.finished(side) for side in brief.size())
    made = Booklet(
        title,
        english.clean(edition.designer),
        (("Finished size", f"{wide} × {high}"), *_facts(ready)),
        photos.quilt(ready, 7.0, 7.3),
        tuple(_chapters(ready)),
        edition.paper,
        edition.ink,
        edition.large,
    )
    faults = judge_print(text_of(made), ready.plan, ready.book, edition, ready.missing)
    if faults:
        raise FaultsError(ready.plan, faults)
    return made


def _facts(ready: Source) -> Iterator[tuple[str, str]]:
    setting = ready.layout.setting
    block = ready.finished(float(setting.block_size))
    pieced = english.number(sum(map(bool, ready.layout.fabrics)), "block")
    where = "on point" if setting.kind == "on point" else "set straight"
    sashing = sashed(ready.plan.brief, printed=True)
    yield "Blocks", f"{pieced}, {ready.block.name.lower()}, {block} finished, {where}{sashing}"
    yield "Skill", skill_words(*skill(ready.plan))
    yield "Cloth", _cloth(ready)


def _cloth(ready: Source) -> str:
    """Say what the blocks are cut from, and what else would do."""
    counts: dict[FormKind, int] = {}
    for cloth in ready.book.cloths:
        if cloth.fabric in ready.numbers and not cloth.cloth.form.open_ended:
            kind = cloth.cloth.form.kind
            counts[kind] = counts.get(kind, 0) + cloth.cloth.count
    told = [forms(kind, count) for kind, count in counts.items()]
    own = english.listed(told) or english.number(len(ready.numbers), "fabric")
    others = [form_name(each.form.kind, 2) for each in chosen_forms(ready.plan, ready.book)]
    instead = f", or {english.listed(others, 'or')}" if others else ""
    return f"{own}{instead}; {ready.name(ready.plan.background)} for the background"


def _chapters(ready: Source) -> Iterator[Chapter]:
    edition = ready.edition
    if edition.introduction.strip() or edition.photos:
        yield _own("Welcome", edition.introduction, tuple(_photos(ready)))
    # A short opening leaves room for what is needed on its page.
    short = len(edition.introduction) < _SHORT and not edition.photos
    wanted = needs(ready)
    wanted = replace(wanted, parts=(*wanted.parts, *needed(ready)))
    yield replace(wanted, new_page=not (edition.introduction.strip() and short))
    yield before(ready)
    yield cutting(ready)
    yield from cutting_otherwise(ready)
    yield from piecing(ready)
    yield assembly(ready)
    around = borders(ready)
    if around:
        yield around
    yield quilting(ready)
    if edition.notes.strip():
        yield _own("Notes", edition.notes, ())
    yield colouring(ready)


def _photos(ready: Source) -> Iterator[Figure]:
    for number, data in enumerate(ready.edition.photos, 1):
        yield photos.own_photo(data, number, 3.3, 4.6)


def _own(title: str, text: str, figures: tuple[Figure, ...]) -> Chapter:
    """Return a chapter of the designer's own words and photos."""
    paragraphs = (english.clean(part) for part in text.replace("\r\n", "\n").split("\n\n"))
    parts: list[Part] = [Words(tuple(part for part in paragraphs if part))]
    return Chapter(title, (*parts, Gallery(figures)) if figures else tuple(parts))

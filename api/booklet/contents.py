"""A plan, its pictures and what the designer adds, put together as a booklet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from api.booklet import photos, words
from api.booklet.assembly import assembly
from api.booklet.cutting import cutting
from api.booklet.edition import Edition
from api.booklet.needs import key, needs
from api.booklet.parts import Booklet, Chapter
from api.booklet.source import Source, source
from api.plan import Plan
from api.summary import size


def booklet(plan: Plan, pictures: Mapping[str, bytes], edition: Edition) -> Booklet:
    """Return a plan's booklet as values.

    Raises
    ------
    ValueError
        If the plan has no layout or background, or something can't be cut.
    """
    ready = source(plan, pictures, edition)
    brief = ready.plan.brief
    title = " ".join((edition.title or brief.title).split()) or "Untitled quilt"
    wide, high = (ready.finished(side) for side in size(brief))
    return Booklet(
        title,
        " ".join(edition.designer.split()),
        f"Finished size {wide} × {high}",
        tuple(_facts(ready)),
        photos.quilt(ready, 6.4, 6.5),
        tuple(_chapters(ready)),
        edition.paper,
        edition.ink,
    )


def _facts(ready: Source) -> Iterator[str]:
    setting = ready.layout.setting
    block = ready.finished(float(setting.block))
    pieced = words.several(sum(map(bool, ready.layout.fabrics)), "block")
    where = "on point" if setting.kind == "on point" else "set straight"
    yield f"{pieced}, {ready.block.name.lower()}, {block} finished, {where}"
    fabrics = words.several(len(ready.numbers), "fabric")
    yield f"{fabrics} and {ready.name(ready.plan.background)} for the background"


def _chapters(ready: Source) -> Iterator[Chapter]:
    yield needs(ready)
    yield cutting(ready)
    yield assembly(ready)
    yield key(ready)

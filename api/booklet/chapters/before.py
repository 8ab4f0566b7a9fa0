"""Before you start: seam allowance, washing, pressing, cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.parts import Bullets, Chapter, Heading
from api.wording import english
from api.wording.cutting import cautions, notes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source


def before(source: Source) -> Chapter:
    """Return the chapter on what to know before cutting."""
    return Chapter(
        "Before you start",
        (
            Bullets((*_advice(source), *notes(source.plan, source.book, source.hand))),
            Heading("Take care"),
            Bullets(cautions(source.plan)),
        ),
        new_page=False,
    )


def _advice(source: Source) -> Iterator[str]:
    seam = source.cut(source.seam)
    yield "Read the whole pattern once before you cut."
    yield (
        f"Sew with a seam allowance of {seam} throughout; every size to cut includes it. Sew a "
        "test seam and measure it."
    )
    named = [
        f"{source.role(role)} is {source.name(fabric)}"
        for role, fabric in source.fixed.items()
        if role == "B" or source.block.has(role)
    ]
    yield (f"Feature fabric is the fabric that gives a block its colour; {english.listed(named)}.")
    if source.plan.brief.sewing.shrinkage and any(c.buy is None for c in source.book.cloths):
        yield (
            "Pre-cut pieces are reckoned as they are sold. If you wash them, measure them again "
            "before you cut."
        )
    yield "Press all cloth flat before you cut it."
    yield "Press seams; do not slide the iron. Arrows show the side the allowance lies on."
    yield "Make one block first and measure it before you cut the rest."
    directional = [
        source.name(fabric) for fabric in source.numbers if source.swatch(fabric).directional
    ]
    if directional:
        yield (
            f"These prints have an up and a down, and their pieces are not turned on the cloth: "
            f"{english.listed(directional)}."
        )

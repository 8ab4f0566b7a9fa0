"""Before you start: seam allowance, washing, pressing, cautions, whether the print is to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.figures import canvas
from api.booklet.parts import Bullets, Chapter, Figure, Gallery, Heading, Part, Words
from api.wording import english
from api.wording.cutting import cautions, notes
from placement.inches import MM_PER_INCH

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
            *_print_scale(),
        ),
        new_page=False,
    )


def _print_scale() -> Iterator[Part]:
    """Yield how to check the print, with two squares to measure."""
    yield Heading("Check the print")
    yield Words(
        (
            (
                "Print this page at 100 % (actual size, no fitting to the page). Measure both "
                "squares with a ruler. If either is off, change the scale in the print window and "
                "print this page again."
            ),
        )
    )
    yield Gallery((_square(1.0, "One inch"), _square(float(20 / MM_PER_INCH), "Two centimetres")))


def _square(side: float, caption: str) -> Figure:
    edge = 0.012
    whole = side + 2 * edge
    shape = canvas.cloth(canvas.box(edge, edge, side, side), "#ffffff", "#000000", edge)
    return canvas.figure([shape], whole, whole, f"A square of {caption.lower()}", caption)


def _advice(source: Source) -> Iterator[str]:
    seam = source.cut(source.seam)
    yield "Read the whole pattern once before you cut."
    yield "Print at full size, then measure the squares under Check the print, below."
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

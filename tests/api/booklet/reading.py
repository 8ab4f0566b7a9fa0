"""The words of a finished PDF, and whether they are those of the booklet it was set from."""

from __future__ import annotations

import unicodedata
from io import BytesIO
from typing import TYPE_CHECKING

from pypdf import PdfReader

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.booklet.judging.judge import judge_print
from api.booklet.judging.words import text_of
from api.booklet.lengths import flat
from api.booklet.source import source
from api.drawing.text import showable
from api.wording.faults import sentences

if TYPE_CHECKING:
    from collections.abc import Iterable

    from api.pattern.plan import Plan


def read_text(pdf: bytes, titles: Iterable[str] = ()) -> str:
    """Return the text of a PDF on one line, with plain spaces, without its titles' footers."""
    pages = []
    for number, page in enumerate(PdfReader(BytesIO(pdf)).pages, 1):
        text = flat(page.extract_text())
        for title in titles:
            text = text.replace(f"{flat(title)} {number}", " ")
        pages.append(text)
    return flat(" ".join(pages))


def judge(pdf: bytes, plan: Plan, edition: Edition | None = None) -> tuple[str, ...]:
    """List every way in which a PDF's words and a plan disagree, in sentences.

    Names come back as the PDF wrote them: from right to left, or in letters that fonts have.
    """
    edition = edition or Edition()
    ready = source(plan, {}, edition)
    title = edition.title or ready.plan.brief.title
    text = read_text(pdf, (tight_line(title), showable(title, "Untitled quilt")))
    faults = sentences(
        ready.plan, judge_print(text, ready.plan, ready.book, edition, ready.missing)
    )
    # Lines with such names come back in another order; as the words stand, they are judged.
    turned = {swatch.fabric.name for swatch in ready.plan.brief.everything()
              if _unlike(swatch.fabric.name)}  # fmt: skip
    return tuple(said for said in faults if not any(flat(name) in said for name in turned))


def _unlike(name: str) -> bool:
    """Whether a name is written from right to left, or in letters that no font here has."""
    line = tight_line(name)
    right = any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in line)
    return right or showable(line) != line


def tight_line(text: str) -> str:
    """Return text without what is not seen, its spaces kept."""
    return flat("".join(s for s in text if s.isspace() or unicodedata.category(s)[0] != "C"))


def every_word(plan: Plan, edition: Edition | None = None) -> str:
    """Return the words of a plan's booklet before they are set."""
    return text_of(booklet(plan, {}, edition or Edition()))

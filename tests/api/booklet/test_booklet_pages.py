"""The booklet as a file: the same bytes, papers, ink, letters that no font has."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from api.booklet.edition import Edition
from api.booklet.output import pages
from api.booklet.output.pages import booklet_pdf
from api.booklet.output.type import fonts, opentype
from placement.inches import Inches
from tests.api.booklet.reading import judge, read_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan


def test_the_same_plan_gives_the_same_bytes(
    plan_of: Callable[..., Plan], pictures: dict[str, bytes]
) -> None:
    assert booklet_pdf(plan_of(), pictures) == booklet_pdf(plan_of(), dict(pictures))


@pytest.mark.parametrize(("paper", "points"), [("letter", (612, 792)), ("a4", (595, 842))])
def test_pages_have_the_size_of_their_paper(
    plan_of: Callable[..., Plan], paper: str, points: tuple[int, int]
) -> None:
    """US letter is 8 1/2 x 11 in; A4 is 210 x 297 mm (ISO 216)."""
    edition = Edition(paper="a4" if paper == "a4" else "letter")
    box = PdfReader(BytesIO(booklet_pdf(plan_of(), {}, edition))).pages[0].mediabox
    assert (round(box.width), round(box.height)) == points


def test_the_black_edition_is_lighter_and_has_no_colour(
    plan_of: Callable[..., Plan], pictures: dict[str, bytes]
) -> None:
    plan = plan_of()
    colour = booklet_pdf(plan, pictures)
    black = booklet_pdf(plan, pictures, Edition(ink="black"))
    assert len(black) < len(colour)
    assert not any(page.images for page in PdfReader(BytesIO(black)).pages)
    assert judge(black, plan, Edition(ink="black")) == ()


def test_the_designers_own_words_photos_and_bed_sizes_are_printed(
    plan_of: Callable[..., Plan], pictures: dict[str, bytes]
) -> None:
    edition = Edition(
        title="Harvest",
        designer="Maren Aasgaard",
        introduction="For my brother.\n\nWith love.",
        notes="Thank you.",
        photos=(next(iter(pictures.values())),),
        drop=Inches.parse(12),
    )
    pdf = booklet_pdf(plan_of(), {}, edition)
    text = read_text(pdf)
    for words in ("Harvest", "Maren Aasgaard", "For my brother.", "Thank you.", "Queen"):
        assert words in text
    assert judge(pdf, plan_of(), edition) == ()
    info = PdfReader(BytesIO(pdf)).metadata
    assert info is not None
    assert (info.title, info.author) == ("Harvest", "Maren Aasgaard")


def test_every_picture_has_words_for_those_who_do_not_see_it(
    plan_of: Callable[..., Plan], pictures: dict[str, bytes]
) -> None:
    """Every Figure of the structure tree carries Alt (ISO 14289-1, 7.3)."""
    reader = PdfReader(BytesIO(booklet_pdf(plan_of(), pictures)))
    found = []
    stack = [reader.root_object["/StructTreeRoot"]]
    while stack:
        node = stack.pop().get_object()
        if isinstance(node, list):
            stack.extend(node)
        elif isinstance(node, dict):
            if node.get("/S") == "/Figure":
                found.append(node.get("/Alt"))
            if "/K" in node:
                stack.append(node["/K"])
    assert len(found) > 10
    assert all(found)


def test_letters_that_no_font_inside_has_do_not_stop_the_print(
    plan_of: Callable[..., Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = plan_of(("綿", "Moss", "Slate"))
    typeset = pages.typeset

    def without_system_fonts(made: pages.Booklet, **_asked: bool) -> bytes:
        return typeset(made)

    monkeypatch.setattr(pages, "typeset", without_system_fonts)
    pdf = booklet_pdf(plan, {})
    assert judge(pdf, plan) == ()
    assert "Fabric 1" in read_text(pdf)


def test_a_plan_without_a_layout_is_refused_in_words(plan_of: Callable[..., Plan]) -> None:
    with pytest.raises(ValueError, match="no layout"):
        booklet_pdf(replace(plan_of(), layout=None), {})


def test_what_is_not_a_photo_is_refused_by_its_number(plan_of: Callable[..., Plan]) -> None:
    with pytest.raises(ValueError, match="photo 1"):
        booklet_pdf(plan_of(), {}, Edition(photos=(b"no photo",)))


@pytest.mark.parametrize("wrong", [{"paper": "legal"}, {"ink": "gold"}, {"notes": "x" * 30_000}])
def test_an_edition_that_can_not_be_is_refused(wrong: dict[str, str]) -> None:
    with pytest.raises(ValueError, match=r"legal|gold|30000"):
        Edition(**wrong)  # type: ignore[arg-type]


def test_the_typeface_is_unpacked_as_opentype() -> None:
    """OTTO is the signature of OpenType with CFF outlines (ISO/IEC 14496-22)."""
    assert len(fonts()) == 2
    for font in fonts().values():
        assert font.startswith((b"OTTO", b"\0\1\0\0"))
    with pytest.raises(ValueError, match="WOFF"):
        opentype(b"OTTO" + b"\0" * 60)

"""Pages as paper: filled, with margins, no small type, no heading alone; and few of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import typst

from api.booklet.edition import Edition
from api.booklet.output.pages import booklet_pdf
from tests.api.booklet.paper import LEAST_TYPE, papers
from tests.api.varied import plan_named

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan

MOST_PAGES = 12
"""Customary patterns have 4 to 8 letter pages (common practice); these are made to be hard."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "paper"),
    [("sawtooth-star 1", "letter"), ("square-in-a-square 0", "a4"), ("own wheel again", "letter")],
)
def test_pages_of_hard_plans_are_few_and_well_set(name: str, paper: str) -> None:
    edition = Edition(paper="a4" if paper == "a4" else "letter")
    found = papers(booklet_pdf(plan_named(name), {}, edition))
    assert len(found) <= MOST_PAGES
    for number, page in enumerate(found, 1):
        assert page.margins, number
        assert page.least_type >= LEAST_TYPE, number
        assert page.alone == (), number


def test_a_usual_pattern_has_at_most_nine_full_pages(plan_of: Callable[..., Plan]) -> None:
    """72 blocks on point in 18 fabrics: mean 78 % and none but the last under 55 %."""
    names = tuple(f"Fabric of name {n}" for n in range(18))
    for pattern in ("sawtooth-star", "uneven-nine-patch"):
        found = papers(booklet_pdf(plan_of(names, across=6, down=7, pattern=pattern), {}))
        assert len(found) <= 9
        assert sum(page.filled for page in found) / len(found) >= 0.78
        assert min(page.filled for page in found[:-1]) >= 0.55


def test_large_print_is_large(plan_of: Callable[..., Plan]) -> None:
    """RNIB's clear print asks for 14 points for large print at least (from memory)."""
    found = papers(booklet_pdf(plan_of(("Rose",), across=1, down=1), {}, Edition(large=True)))
    normal = papers(booklet_pdf(plan_of(("Rose",), across=1, down=1), {}))
    assert len(found) > len(normal)


@pytest.mark.parametrize(
    ("body", "wrong"),
    [
        ("#lorem(300)", ""),
        ("#lorem(300) #text(5pt)[small]", "type"),
        ("#lorem(300) #place(top + left, dx: -0.6in)[out]", "margins"),
        ("#lorem(20)", "filled"),
        ("#lorem(300) #v(1fr) #text(20pt)[Alone]", "alone"),
    ],
)
def test_the_judge_of_paper_finds_planted_faults(body: str, wrong: str) -> None:
    plain = '#set page("us-letter", margin: 0.75in)\n#set text(12pt)\n'
    source = f"{plain}Cover #pagebreak() {body}".encode()
    page = papers(typst.compile(source, format="pdf"))[1]
    found = {
        "type": page.least_type < LEAST_TYPE,
        "margins": not page.margins,
        "filled": page.filled < 0.2,
        "alone": bool(page.alone),
    }
    assert [name for name, is_so in found.items() if is_so] == ([wrong] if wrong else [])

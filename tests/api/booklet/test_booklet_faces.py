"""The booklet over HTTP, from the command line, and as a web page."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest

from api.booklet.edition import Edition
from api.booklet.output.web import booklet_html
from api.cli.main import main
from api.pattern.plan import Plan
from api.pattern.stored import to_json

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from api.pattern.plan import Plan


class Reader(HTMLParser):
    """Gathers what a page shows and what it would load."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.loads: list[str] = []
        self.alts: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append(tag)
        found = dict(attrs)
        self.loads += [str(found[key]) for key in ("src", "href") if key in found]
        if tag == "img":
            self.alts.append(found.get("alt") or "")

    def handle_data(self, data: str) -> None:
        """Note words."""
        self.text += data


@pytest.fixture
def kept(plan_of: Callable[..., Plan], pictures: dict[str, bytes], tmp_path: Path) -> Path:
    folder = tmp_path / "quilt"
    (folder / "pictures").mkdir(parents=True)
    (folder / "plan.json").write_text(to_json(plan_of()), encoding="utf-8")
    for name, data in pictures.items():
        (folder / "pictures" / f"{name}.jpg").write_bytes(data)
    return folder


def test_the_web_page_needs_nothing_from_outside_and_runs_nothing(
    plan_of: Callable[..., Plan], pictures: dict[str, bytes]
) -> None:
    name = "</title><script>alert(1)</script>"
    page = booklet_html(plan_of((name, "Moss", "Slate"), title=name), pictures)
    reader = Reader()
    reader.feed(page)
    assert "script" not in reader.tags
    assert all(address.startswith("data:image/") for address in reader.loads)
    assert all(reader.alts)
    assert name in reader.text


def test_the_web_page_says_the_same_as_the_print(plan_of: Callable[..., Plan]) -> None:
    reader = Reader()
    reader.feed(booklet_html(plan_of(), {}, Edition(designer="Maren Aasgaard")))
    text = reader.text.replace("\u00a0", " ")
    # 3 x 4 + 2 x 3 blocks on point; 8 1/2 x sqrt 2 x 3 + 8 and x 4 + 8 in, derived.
    for words in ("Maren Aasgaard", "18 blocks", '44" × 56 1/8"', "10 side triangles"):
        assert words in text


def test_the_command_writes_a_pdf_and_a_page(
    kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("pattern.pdf", "pattern.html"):
        out = kept / name
        assert main(["booklet", str(kept / "plan.json"), "--paper", "a4", "--out", str(out)]) == 0
        assert out.read_bytes().startswith((b"%PDF", b"<!doctype html>"))
    said = capsys.readouterr()
    assert "pattern.pdf" in said.out
    assert "no pictures" not in said.err


def test_the_command_does_without_pictures_and_says_so(
    kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = kept / "new" / "pattern.pdf"
    wish = ["booklet", str(kept / "plan.json"), "--pictures", str(kept / "none"), "--out", str(out)]
    assert main(wish) == 0
    assert out.exists()
    assert "flat colours" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("plan", "out", "word"),
    [("plan.json", "pattern.doc", ".pdf or .html"), ("gone.json", "pattern.pdf", "gone.json")],
)
def test_a_wrong_call_is_answered_in_one_sentence(
    kept: Path, capsys: pytest.CaptureFixture[str], plan: str, out: str, word: str
) -> None:
    assert main(["booklet", str(kept / plan), "--out", str(kept / out)]) == 2
    assert re.search(re.escape(word), capsys.readouterr().err)

"""The page's sources: types, style, weight, and that nothing comes from elsewhere."""

from __future__ import annotations

import gzip
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from api.web.minify import minified, top_names
from api.web.page import packed

HERE = Path(__file__).resolve().parent
STATIC = HERE.parent.parent / "static"
LOADED = sorted(path for path in STATIC.iterdir() if not path.name.endswith(".d.ts"))
MOST_BYTES = 40_000


@pytest.mark.parametrize("script", ["types", "style"])
def test_types_and_style_are_clean(script: str) -> None:
    if not (HERE / "node_modules").exists():
        pytest.skip("the checkers are not there: run npm install in tests/page")
    command = ["npm", "run", "--silent", script]
    run = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_page_is_light() -> None:
    # The bytes that go over the wire, compressed: the page, its guide and all that they load.
    served = minified({path.name: path.read_text(encoding="utf-8") for path in LOADED})
    files = {name: packed(text.encode()) for name, text in sorted(served.items())}
    assert all(gzip.decompress(files[name]).decode() == text for name, text in served.items())
    weights = {name: len(file) for name, file in files.items()}
    for name, weight in weights.items():
        print(f"{name:12} {weight:6,} bytes")
    print(f"{'in all':12} {sum(weights.values()):6,} bytes")
    assert set(weights) == {"index.html", "app.js", "page.css", "icon.svg", "guide.html"}
    assert sum(weights.values()) <= MOST_BYTES


def test_nothing_of_the_page_is_called_like_something_of_the_browsers(browser: Any) -> None:
    # Modules as served share one scope: 'open' of one would hide the browser's from all.
    names = {name for path in STATIC.glob("*.js") for name in top_names(path.read_text("utf-8"))}
    page = browser.new_page()
    taken = page.evaluate("(names) => names.filter((name) => name in window)", sorted(names))
    page.close()
    assert len(names) > 100
    assert taken == []


def test_nothing_comes_from_another_place() -> None:
    for path in LOADED:
        links = re.findall(r"https?://[^\s\"'`)]+", path.read_text(encoding="utf-8"))
        assert set(links) <= {"http://www.w3.org/2000/svg"}, path.name


def test_nothing_is_inline() -> None:
    # What the content policy forbids must not be there to begin with.
    html = (STATIC / "index.html").read_text(encoding="utf-8")
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|<script(?![^>]*\ssrc=)", html)


def test_a_browser_reads_the_same_from_the_style_sheets_as_they_are_served(browser: Any) -> None:
    written = {path.name: path.read_text("utf-8") for path in STATIC.glob("*.css")}
    served = minified(written)
    page = browser.new_page()
    read = """(text) => { const sheet = new CSSStyleSheet(); sheet.replaceSync(text);
      return [...sheet.cssRules].map((rule) => rule.cssText); }"""
    for name, text in written.items():
        # What holds a variable is kept by the browser as it is spelt.
        rules, other = (
            [re.sub(r"\s*([,(){}])\s*|\s+", r"\1 ", rule) for rule in page.evaluate(read, css)]
            for css in (text, served[name])
        )
        assert rules == other, name
        assert rules
    page.close()

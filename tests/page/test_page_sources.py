"""The page's sources: types, style, weight, and that nothing comes from elsewhere."""

from __future__ import annotations

import gzip
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from api.minify import minified

HERE = Path(__file__).resolve().parent
STATIC = HERE.parent.parent / "static"
LOADED = sorted(path for path in STATIC.iterdir() if not path.name.endswith(".d.ts"))
AT_ONCE = {"index.html", "app.js", "page.css", "icon.svg"}
"""What the page loads first; the rest is the guide, pointing at photos, and the last steps."""
MOST_BYTES = 40_000
MOST_ON_DEMAND = 20_000


@pytest.mark.parametrize("script", ["types", "style"])
def test_types_and_style_are_clean(script: str) -> None:
    if not (HERE / "node_modules").exists():
        pytest.skip("the checkers are not there: run npm install in tests/page")
    command = ["npm", "run", "--silent", script]
    run = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_page_is_light() -> None:
    # The bytes that go over the wire, compressed. Addresses that only hand on what is in the
    # bundle are asked for by nobody.
    sources = {path.name: path.read_text(encoding="utf-8") for path in LOADED}
    served = minified(sources)
    sheets = set(re.findall(r'href="([\w-]+\.css)"', sources["index.html"]))
    handed = {name for name, text in served.items() if text.startswith("import{$")}
    weights = {
        name: len(gzip.compress(served[name].encode(), 9))
        for name in sorted(served.keys() - sheets - handed)
    }
    later = sum(weight for name, weight in weights.items() if name not in AT_ONCE)
    for name, weight in weights.items():
        print(f"{name:12} {weight:6,} bytes{'' if name in AT_ONCE else ' when asked for'}")
    print(f"{'in all':12} {sum(weights.values()):6,} bytes, {later:,} of them when asked for")
    assert set(weights) >= AT_ONCE
    assert sum(weights.values()) - later <= MOST_BYTES
    assert later <= MOST_ON_DEMAND


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

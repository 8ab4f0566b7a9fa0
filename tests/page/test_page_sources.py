"""The page's sources: types, style, and that nothing comes from elsewhere."""

from __future__ import annotations

import posixpath
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from api.web.page.files import page_sources
from api.web.page.small import minified

HERE = Path(__file__).resolve().parent
STATIC = HERE.parent.parent / "static"
LOADED = page_sources(STATIC)


@pytest.mark.parametrize("script", ["types", "style"])
def test_types_and_style_are_clean(script: str) -> None:
    if not (HERE / "node_modules").exists():
        pytest.skip("the checkers are not there: run npm install in tests/page")
    command = ["npm", "run", "--silent", script]
    run = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def test_a_module_imports_from_its_own_floor_and_those_below_alone() -> None:
    floors = ("plan", "parts", "wall", "steps", "app.js")
    arrows = set()
    for path, text in LOADED.items():
        if path.endswith(".js"):
            for found in re.findall(r'^import (?:[^"]* from )?"([^"]+)";', text, re.MULTILINE):
                other = posixpath.normpath(posixpath.join(posixpath.dirname(path), found))
                arrows.add((path.split("/")[0], other.split("/")[0]))
    assert len(arrows) > 8
    up = {(one, other) for one, other in arrows if floors.index(one) < floors.index(other)}
    assert up == set()


def test_nothing_comes_from_another_place() -> None:
    for path, text in LOADED.items():
        links = re.findall(r"https?://[^\s\"'`)]+", text)
        assert set(links) <= {"http://www.w3.org/2000/svg"}, path


def test_nothing_is_inline() -> None:
    # What the content policy forbids must not be there to begin with.
    html = LOADED["index.html"]
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|<script(?![^>]*\ssrc=)", html)


def test_a_browser_reads_the_same_from_the_style_sheets_as_they_are_served(browser: Any) -> None:
    written = {path: text for path, text in LOADED.items() if path.endswith(".css")}
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

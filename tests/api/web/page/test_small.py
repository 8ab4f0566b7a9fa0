"""What is served does the same as what is written."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from api.web.page.small import minified
from tests.api.web.page.node import ran

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

TRICKY = r"""
class Box { #in = 1; static #count = 0; async #load() { return await 1; } get #size() { return 2; }
  has(other) { return #in in other && other.#in + other.#size; }
  *[Symbol.iterator]() { yield* [1]; } }
const words = `two  spaces // no comment ${`inner  ${"a  b"} /* kept */`} end`;
const strings = ["// kept", '/* kept */', "it's", 'say "so"', "\u2713 \u00e9"];
const patterns = [/\/\/ [/"'`]  x/g, /[`]/u.test("`") ? /a  b/ : /c\/d/];
const divided = 8 / 4 / 2; // a comment
const sum = divided + +divided - -divided;
let next = 1
next++
const later = (x) => { /* gone */ return x ?? words; };
globalThis.seen = [new Box().has(new Box()), [...new Box()], words, strings, patterns.map(String),
  sum, next, later(undefined), later(0)];
"""


def test_private_fields_strings_templates_and_patterns_mean_the_same(tmp_path: Path) -> None:
    served = minified({"app.js": TRICKY})["app.js"]
    assert ran(served, tmp_path) == ran(TRICKY, tmp_path)
    assert len(served) < 0.75 * len(TRICKY)


def test_without_the_means_to_make_it_small_the_page_is_served_as_it_is_written(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setitem(sys.modules, "minify", None)
    files = {
        "app.js": 'import { c } from "./c.js";\n// Kept.\nglobalThis.seen = [c];\n',
        "c.js": "export const c = 10;\n",
    }
    served = minified(files)["app.js"]
    assert "// Kept." in served
    assert ran(served, tmp_path) == [10]


def test_the_style_sheets_of_the_page_become_one_in_their_order() -> None:
    link = '<link rel="stylesheet" href="{}.css">\n    '
    page = f"<head>\n    {link.format('wall/b')}{link.format('a')}<!-- gone -->\n</head>"
    served = minified(
        {"index.html": page, "a.css": "a { top: 0 }", "wall/b.css": "b > i { top: 1px }"}
    )
    assert served["page.css"].startswith("b>i{")
    assert served["page.css"].endswith("a{top:0}")
    assert set(served) == {"index.html", "page.css"}
    assert served["index.html"].count("stylesheet") == 1
    assert "gone" not in served["index.html"]

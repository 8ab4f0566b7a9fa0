"""What is served does the same as what is written."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from api.web.minify import minified

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


def ran(text: str, tmp_path: Path) -> Any:
    """Run a module; return what it leaves in globalThis.seen."""
    if not shutil.which("node"):
        pytest.skip("nothing to run modules with: install Node.js")
    (tmp_path / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    told = "console.log(JSON.stringify(globalThis.seen));"
    (tmp_path / "all.js").write_text(f"{text}\n{told}", encoding="utf-8")
    done = subprocess.run(
        ["node", "all.js"], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_private_fields_strings_templates_and_patterns_mean_the_same(tmp_path: Path) -> None:
    served = minified({"app.js": TRICKY})["app.js"]
    assert ran(served, tmp_path) == ran(TRICKY, tmp_path)
    assert len(served) < 0.75 * len(TRICKY)


def test_modules_in_one_run_once_in_order_and_hand_on_what_the_first_does(tmp_path: Path) -> None:
    files = {
        "app.js": 'import { count, Thing } from "./b.js";\nimport "./c.js";\n'
        "const own = 1;\nexport { count };\n"
        "globalThis.seen.push(count(), new Thing().name, own);\n",
        "b.js": 'import {\n  c,\n} from "./c.js";\nlet times = 0;\nconst mine = 2;\n'
        "export const count = () => {\n  times += 1;\n  return times * c * mine;\n};\n"
        'export class Thing {\n  name = "thing";\n}\n',
        "c.js": 'globalThis.seen = ["c"];\nexport const c = 10;\n',
        "d.js": "export const unused = 1;\n",
    }
    served = minified(files)
    assert set(served) == {"app.js", "d.js"}
    (tmp_path / "app.js").write_text(served["app.js"], encoding="utf-8")
    other = 'import { count } from "./app.js";\nglobalThis.seen.push(count());'
    assert ran(other, tmp_path) == ["c", 20, "thing", 1, 40]


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


@pytest.mark.parametrize(
    ("text", "other", "words"),
    [
        ('import x from "./b.js";\n', "", "can't be put into one file"),
        ('import { b as c } from "./b.js";\n', "", "can't be put into one file"),
        ("export default 1;\n", "", "can't be put into one file"),
        (
            'import { b } from "./b.js";\n',
            'import { a } from "./app.js";\n',
            "import one another: app.js > b.js > app.js",
        ),
        (
            'import { b } from "./b.js";\nconst own = 1;\n',
            "function own() {}\nexport const b = 1;\n",
            "b.js and app.js both call something 'own'",
        ),
    ],
)
def test_what_can_not_be_put_into_one_is_told(text: str, other: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        minified({"app.js": text, "b.js": other})


def test_the_style_sheets_of_the_page_become_one_in_their_order() -> None:
    link = '<link rel="stylesheet" href="{}.css">\n    '
    page = f"<head>\n    {link.format('b')}{link.format('a')}<!-- gone -->\n</head>"
    served = minified({"index.html": page, "a.css": "a { top: 0 }", "b.css": "b > i { top: 1px }"})
    assert served["page.css"].startswith("b>i{")
    assert served["page.css"].endswith("a{top:0}")
    assert set(served) == {"index.html", "page.css"}
    assert served["index.html"].count("stylesheet") == 1
    assert "gone" not in served["index.html"]

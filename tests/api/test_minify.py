"""What is served says the same as what is written: judged by a parser of the language."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from api.files import static_folder
from api.minify import minified

# The parser that Node.js brings along (acorn); positions and spellings are left out.
JUDGE = """
const { parse } = require('internal/deps/acorn/acorn/dist/acorn');
const read = (text) => JSON.stringify(
  parse(text, { ecmaVersion: 'latest', sourceType: 'module' }),
  (key, value) => (['start', 'end', 'raw'].includes(key) ? undefined
    : typeof value === 'bigint' ? String(value) : value));
const pairs = JSON.parse(require('fs').readFileSync(0, 'utf8'));
console.log(JSON.stringify(pairs.map(([one, other]) => read(one) === read(other))));
"""

TRICKY = r"""
class Box { #in = 1; static #count = 0; async #load() { return await 1; } get #size() { return 2; }
  has(other) { return #in in other && other.#in; } *[Symbol.iterator]() { yield* [1]; } }
const words = `two  spaces // no comment ${`inner  ${"a  b"} /* kept */`} end`;
const strings = ["// kept", '/* kept */', "it's", 'say "so"'];
const patterns = [/\/\/ [/"'`]  x/g, /[`]/u.test("`") ? /a  b/ : /c\/d/];
const divided = 8 / 4 / 2; // a comment
const sum = divided + +divided - -divided;
let next = 1
next++
const later = async (x) => { /* gone */ return x ?? (await x) };
export { Box, words, strings, patterns, sum, next, later };
"""


def same(pairs: list[tuple[str, str]]) -> list[bool]:
    if not shutil.which("node"):
        pytest.skip("the judge is not there: install Node.js")
    run = subprocess.run(
        ["node", "--expose-internals", "--no-warnings", "-e", JUDGE],
        input=json.dumps(pairs),
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    told: list[bool] = json.loads(run.stdout)
    return told


def sources() -> dict[str, str]:
    return {
        path.name: path.read_text(encoding="utf-8")
        for path in static_folder().iterdir()
        if path.suffix in (".js", ".css", ".html", ".svg")
    }


def test_every_module_of_the_page_means_the_same_without_comments_and_spaces() -> None:
    written = {name: text for name, text in sources().items() if name.endswith(".js")}
    # Alone, none is the start of a bundle, so each is only made smaller.
    pairs = [(text, minified({"alone.js": text})["alone.js"]) for text in written.values()]
    assert dict(zip(written, same(pairs), strict=True)) == dict.fromkeys(written, True)
    assert sum(len(small) for _, small in pairs) < 0.75 * sum(len(text) for text, _ in pairs)


def test_private_fields_templates_and_patterns_stay_as_they_are() -> None:
    small = minified({"alone.js": TRICKY})["alone.js"]
    assert same([(TRICKY, small)]) == [True]
    assert "a comment" not in small
    assert "gone" not in small


@pytest.mark.parametrize("text", ["a = `b${c", "a = 'b", "a = `b"])
def test_what_does_not_end_is_told(text: str) -> None:
    with pytest.raises(ValueError, match="does not end"):
        minified({"alone.js": text})


def test_the_judge_sees_a_difference() -> None:
    assert same([("a = `b  c`", "a = `b c`"), ("a + +b", "a - +b")]) == [False, False]


def run(files: dict[str, str], tmp_path: Path) -> Any:
    for name, text in minified(files).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    (tmp_path / "all.js").write_text(
        'import "./app.js";import{count,Thing as T}from"./b.js";import{c}from"./c.js";'
        "console.log(JSON.stringify([globalThis.seen,count(),new T().name,c]))",
        encoding="utf-8",
    )
    done = subprocess.run(
        ["node", "all.js"], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_modules_in_one_run_once_in_order_and_are_the_same_by_every_door(tmp_path: Path) -> None:
    if not shutil.which("node"):
        pytest.skip("nothing to run modules with: install Node.js")
    files = {
        "app.js": 'import { count, Thing as Made } from "./b.js";\nimport "./c.js";\n'
        "const own = 1;\nglobalThis.seen.push(count(), new Made().name, own);\n",
        "b.js": 'import {\n  c,\n} from "./c.js";\nlet times = 0;\nconst own = 2;\n'
        "export const count = () => {\n  times += 1;\n  return times * c * own;\n};\n"
        'export class Thing {\n  name = "thing";\n}\n',
        "c.js": 'globalThis.seen = ["c"];\nexport const c = 10;\n',
        "d.js": "export const unused = 1;\n",
    }
    assert run(files, tmp_path) == [["c", 20, "thing", 1], 40, "thing", 10]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('import x from "./b.js";\n', "can't be put into one file"),
        ("export default 1;\n", "can't be put into one file"),
        ('import { b } from "./b.js";\n', "import one another: app.js > b.js > app.js"),
    ],
)
def test_what_can_not_be_put_into_one_is_told(text: str, words: str) -> None:
    other = 'import { a } from "./app.js";\nexport const b = 1;\n'
    with pytest.raises(ValueError, match=words):
        minified({"app.js": text, "b.js": other if "one another" in words else ""})


def test_the_style_sheets_of_the_page_become_one_in_their_order() -> None:
    link = '<link rel="stylesheet" href="{}.css">\n    '
    page = f"<head>\n    {link.format('b')}{link.format('a')}<!-- gone -->\n</head>"
    served = minified({"index.html": page, "a.css": "a { top: 0 }", "b.css": "b > i { top: 1px }"})
    assert served["page.css"].startswith("b>i{")
    assert served["page.css"].endswith("a{top:0}")
    assert served["index.html"].count("stylesheet") == 1
    assert "gone" not in served["index.html"]

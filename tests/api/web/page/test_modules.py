"""Modules in one file do what the same modules do by themselves, as Node.js runs them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from api.web.page.modules import joined, ordered
from api.web.page.small import minified
from tests.api.web.page.node import ran

if TYPE_CHECKING:
    from pathlib import Path

HOUSE = {
    "app.js": """
import "./steps/first.js";
import { count, Thing } from "./parts/counter.js";
import { shown as words } from "./parts/words.js";
import * as all from "./parts/words.js";
const own = 1;
export { count, own as mine };
globalThis.seen.push(count(), new Thing().name, own, words(), Object.keys(all));
""",
    "steps/first.js": """
import {
  ten,
} from "../parts/ten.js";
import { shown } from "../parts/words.js";

function own() { return "a function here, a number there"; }
const count = ten + 1;
globalThis.seen.push("first", count, own(), shown());
""",
    "parts/counter.js": """
import { ten } from "./ten.js";
let times = 0;
const open = 2;
export const count = () => { times += 1; return times * ten * open; };
export class Thing { name = "thing"; }
""",
    "parts/words.js": """
const own = "words";
const hidden = () => own;
export { hidden as shown };
export function* more() { yield own; }
export async function later() { return own; }
""",
    "parts/ten.js": """
globalThis.seen = ["ten", typeof this];
export const ten = 10;
""",
}
"""Five modules in three folders that call several things 'own' and 'count', and one 'open'."""

OTHER = 'import { count, mine } from "./app.js";\nglobalThis.seen.push(count(), mine);'


def _written(files: dict[str, str], folder: Path) -> Path:
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    return folder


def test_two_modules_may_use_one_name_and_do_the_same_in_one_file(tmp_path: Path) -> None:
    apart: Any = ran(OTHER, _written(HOUSE, tmp_path / "apart"))
    served = minified(HOUSE)
    assert set(served) == {"app.js"}
    together = ran(OTHER, _written(served, tmp_path / "together"))
    assert together == apart
    assert apart[:5] == ["ten", "undefined", "first", 11, "a function here, a number there"]
    assert apart[5:] == ["words", 20, "thing", 1, "words", ["later", "more", "shown"], 40, 1]


def test_each_module_runs_once_after_those_it_imports() -> None:
    order = ordered(HOUSE, "app.js")
    assert order[-1] == "app.js"
    assert sorted(order) == sorted(HOUSE)
    assert order.index("parts/ten.js") < order.index("steps/first.js")


@pytest.mark.parametrize(
    ("text", "other", "words"),
    [
        ('import x from "./b.js";\n', "", "app.js: 'import x from"),
        ("export default 1;\n", "", "app.js: 'export default 1;' is not understood"),
        ('export * from "./b.js";\n', "", "is not understood"),
        ('import { c } from "./c.js";\n', "", "app.js imports c.js, which is not there"),
        (
            'import { b } from "./b.js";\n',
            'import { a } from "./app.js";\n',
            "import one another: app.js > b.js > app.js",
        ),
    ],
)
def test_what_can_not_be_put_into_one_is_told(text: str, other: str, words: str) -> None:
    sources = {"app.js": text, "b.js": other}
    with pytest.raises(ValueError, match=words):
        joined(sources, ordered(sources, "app.js"))

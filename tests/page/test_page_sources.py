"""The page's sources: types, style, weight, and that nothing comes from elsewhere."""

from __future__ import annotations

import gzip
import re
import subprocess
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
STATIC = HERE.parent.parent / "static"
LOADED = sorted(path for path in STATIC.iterdir() if not path.name.endswith(".d.ts"))
ON_DEMAND = {
    "photos": {"board", "bundle", "paper", "photos.css", "screen"},
    "cutting": {"cut-cloth", "cutting", "other-sizes", "pressing", "step-cutting"},
    "kin": {"kin", "step-kin"},
    "finish": {"cloth-field", "finish", "step-finish", "thread-chart"},
}
"""Parts that are loaded only when a photo is to be pointed at, or a step is opened."""
MOST_BYTES = 40_000
MOST_ON_DEMAND = 8_000


@pytest.mark.parametrize("script", ["types", "style"])
def test_types_and_style_are_clean(script: str) -> None:
    if not (HERE / "node_modules").exists():
        pytest.skip("the checkers are not there: run npm install in tests/page")
    command = ["npm", "run", "--silent", script]
    run = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_page_is_light() -> None:
    # There is no build step to take comments out; they are not counted, as nobody should
    # have to leave one away for the sake of its weight.
    # The guide is a page of its own, opened only by those who want it.
    loaded = [path for path in LOADED if path.stem != "guide"]
    for parts in ON_DEMAND.values():
        demanded = [path for path in loaded if {path.stem, path.name} & parts]
        assert _weight(demanded) <= MOST_ON_DEMAND
        loaded = [path for path in loaded if path not in demanded]
    assert _weight(loaded) <= MOST_BYTES


def _weight(paths: list[Path]) -> int:
    everything = "".join(path.read_text(encoding="utf-8") for path in paths)
    code = re.sub(r"/\*.*?\*/", "", everything, flags=re.DOTALL)
    return len(gzip.compress(code.encode(), 9))


def test_nothing_comes_from_another_place() -> None:
    for path in LOADED:
        links = re.findall(r"https?://[^\s\"'`)]+", path.read_text(encoding="utf-8"))
        assert set(links) <= {"http://www.w3.org/2000/svg"}, path.name


def test_nothing_is_inline() -> None:
    # What the content policy forbids must not be there to begin with.
    html = (STATIC / "index.html").read_text(encoding="utf-8")
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|<script(?![^>]*\ssrc=)", html)

"""The documents are true: every module stands on the map, the top level is as agreed."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TOP = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml",
    "api", "palette", "placement", "static", "tests", "demo_swatches",
}  # fmt: skip


def _modules() -> list[str]:
    paths = [p for room in ("api", "palette", "placement") for p in (ROOT / room).rglob("*.py")]
    return sorted(str(p.relative_to(ROOT)) for p in paths if p.name != "__init__.py")


@pytest.mark.parametrize("module", _modules())
def test_every_module_is_on_the_map(module: str) -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    folder, _, name = module.rpartition("/")
    assert module in text or (f"`{folder}/`" in text and f"`{name.removesuffix('.py')}`" in text)


def test_the_map_names_nothing_that_is_gone() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = {word for word in text.replace("`", " ").replace(",", " ").split() if "/" in word}
    files = [word for word in named if word.endswith(".py")]
    assert files
    assert [word for word in files if not (ROOT / word).exists() and "*" not in word] == []


def test_the_top_level_is_as_agreed() -> None:
    listed = subprocess.run(
        ["git", "ls-files"], capture_output=True, text=True, cwd=ROOT, check=False
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    names = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert {name for name in names if not name.startswith(".")} == TOP


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    lines = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "# Spreadwell"
    assert len(lines[2]) > 200
    assert lines[3] == ""

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


def _rooms() -> list[str]:
    rooms = ("api", "palette", "placement", "static")
    listed = [p.parent for room in rooms for p in (ROOT / room).rglob("*")]
    folders = {str(p.relative_to(ROOT)) for p in listed}
    return sorted(folder for folder in folders if "__pycache__" not in folder)


@pytest.mark.parametrize("room", _rooms())
def test_every_room_has_a_row_on_the_map(room: str) -> None:
    rows = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()
    assert any(row.startswith(f"| `{room}/` |") for row in rows)


def test_the_map_names_no_room_that_is_gone() -> None:
    rows = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()
    named = [row.split("`")[1] for row in rows if row.startswith("| `")]
    assert named
    assert [room for room in named if not (ROOT / room).is_dir()] == []


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

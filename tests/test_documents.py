"""The documents are true: every module stands on the map, the top level is as agreed."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
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


def test_the_readme_s_python_imports_from_one_place() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (code,) = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    imports = [node for node in ast.walk(ast.parse(code)) if isinstance(node, ast.ImportFrom)]
    own = {str(node.module) for node in imports} - set(sys.stdlib_module_names)
    assert own == {"api.quilt"}


def test_ci_tests_with_named_versions_of_everything_and_no_address() -> None:
    lines = (ROOT / "tests" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    entries = [line for line in lines if not line.startswith("#")]
    assert [line for line in entries if not re.fullmatch(r"[\w.-]+==[\w.!+-]+", line)] == []
    named = {_normal(line.split("==")[0]) for line in entries}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    missing = {_normal(re.split(r"[^\w.-]", line)[0]) for line in wanted} - named
    assert missing == set(), "add their versions to tests/constraints.txt, as pip freeze says them"


def _normal(name: str) -> str:
    """Return a distribution's name as the packaging standard compares them."""
    return re.sub(r"[-_.]+", "-", name).lower()


@pytest.mark.parametrize("package", ["api", "palette", "placement"])
def test_types_are_there_for_whoever_imports(package: str) -> None:
    # PEP 561: the marker of a package that carries its types.
    assert (ROOT / package / "py.typed").is_file()


@pytest.mark.parametrize("room", ["api", "static"])
def test_a_house_is_seen_at_a_glance(room: str) -> None:
    names = {path.name for path in (ROOT / room).iterdir()} - {"__pycache__"}
    assert len(names) <= 12


def test_commands_of_developers_name_what_is_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`((?:tests|api|palette|placement|static)/[\w./-]+)`", text)
    assert named
    assert [name for name in named if not (ROOT / name).exists()] == []

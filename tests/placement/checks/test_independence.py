"""Judges take values from what they judge, never its work."""

from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path

import pytest

import placement.checks

FOLDER = Path(placement.checks.__file__).parent
MODULES = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem != "__init__")

ANSWERS = {
    "cells", "plain_cells", "centre", "graph", "distance", "pitch", "block_count",
    "side_triangles", "corner_triangles", "counts", "total",
    "half_squares",
}  # fmt: skip
"""What values work out for the program; a judge works it out again, or judges it."""

JUDGED = {"setting": {*ANSWERS} - {"distance", "pitch", "counts", "total", "half_squares"}}
"""Where such an answer is what is judged."""


def _tree(module: str) -> ast.Module:
    return ast.parse((FOLDER / f"{module}.py").read_text(encoding="utf-8"))


@pytest.mark.parametrize("module", MODULES)
def test_only_values_are_imported(module: str) -> None:
    """Classes, their types and the constants of block files; no function that makes a result."""
    for node in ast.walk(_tree(module)):
        if not isinstance(node, ast.ImportFrom) or not str(node.module).startswith("placement"):
            continue
        if str(node.module).startswith("placement.checks"):
            continue
        for name in node.names:
            what = getattr(import_module(str(node.module)), name.name)
            assert isinstance(what, type) or not callable(what), f"{module} calls {name.name}"


@pytest.mark.parametrize("module", MODULES)
def test_what_values_work_out_is_worked_out_again(module: str) -> None:
    asked = {node.attr for node in ast.walk(_tree(module)) if isinstance(node, ast.Attribute)}
    assert asked & ANSWERS <= JUDGED.get(module, set())

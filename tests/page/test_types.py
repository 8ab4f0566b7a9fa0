"""The page's types are those of what the server says of itself today."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import pytest

MAKE = Path(__file__).parent / "types" / "make.py"


def maker() -> Any:
    """Return the tool that makes the types; without it nothing can be said."""
    spec = importlib.util.spec_from_file_location("make_types", MAKE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    if not module.TOOL.is_file():
        pytest.skip(f"needs npm install in {MAKE.parent}")
    return module


def test_the_types_are_current() -> None:
    make = maker()
    assert make.WRITTEN.read_text(encoding="utf-8") == make.made(make.described()), (
        "run .venv/bin/python tests/page/types/make.py"
    )


def test_a_field_that_is_added_is_found_in_the_types() -> None:
    make = maker()
    document = make.described()
    size = document["components"]["schemas"]["Size"]
    size["properties"]["depth"] = {"type": "number", "description": "Invented."}
    assert "depth?: number;" in make.made(document)

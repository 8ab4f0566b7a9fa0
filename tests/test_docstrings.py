"""One dialect of docstrings, numpydoc's: a name, its type, and the sentence below it.

numpydoc's style guide, sections 4 to 8 of 'Sections': an entry of Parameters or
Attributes is ``name : type`` and an indented description, one of Returns, Yields or
Raises a type and an indented description. A sentence where the type belongs is
printed as a type by every tool that reads the dialect.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parents[1]
ROOMS = ("api", "palette", "placement")
MODULES = sorted(path for room in ROOMS for path in (ROOT / room).rglob("*.py"))
NAMED = {"Parameters", "Other Parameters", "Attributes"}
TYPED = {"Returns", "Yields", "Raises", "Warns"}
FREE = {"Notes", "References", "Examples", "See Also"}
HOUSE = "Words used here"
"""A module with a vocabulary of its own opens by listing it."""
_ENTRY = re.compile(r"(?P<names>\*{0,2}\w+(?:, \*{0,2}\w+)*) : (?P<type>.+)")


def faults(source: str) -> Iterator[str]:
    """Yield what is not of the dialect in the docstrings of a module."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Module):
            words = ast.get_docstring(node) or ""
            where = getattr(node, "name", "the module")
            for title, lines in _sections(words):
                yield from (f"{where}: {fault}" for fault in _of_section(title, lines, node))


def _sections(words: str) -> Iterator[tuple[str, list[str]]]:
    parts = re.split(r"^(\S.*)\n-{3,}$", words, flags=re.MULTILINE)
    for title, text in zip(parts[1::2], parts[2::2], strict=True):
        yield title, text.strip("\n").splitlines()


def _of_section(title: str, lines: list[str], node: ast.AST) -> Iterator[str]:
    known = NAMED | TYPED | FREE | ({HOUSE} if isinstance(node, ast.Module) else set())
    if title not in known:
        yield f"no section is called {title}"
    if title not in NAMED | TYPED:
        return
    for line, below in zip(lines, [*lines[1:], ""], strict=True):
        if not line or line[0].isspace():
            continue
        entry = _ENTRY.fullmatch(line)
        if title in NAMED and entry is None:
            yield f"{line!r} is not 'name : type'"
        if (entry["type"] if entry else line).endswith("."):
            yield f"{line!r} has a sentence for a type"
        if not below.startswith("    "):
            yield f"{line!r} has no description below it"
        if entry and title in NAMED:
            yield from _unknown(entry["names"], node)


def _unknown(names: str, node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        given = {arg.arg for arg in ast.walk(node.args) if isinstance(arg, ast.arg)}
        for name in names.replace("*", "").split(", "):
            if name not in given:
                yield f"there is no parameter {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_docstrings_are_numpydoc(path: Path) -> None:
    assert list(faults(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["Parameters", "wide : how wide it is."], "sentence for a type"),
        (["Parameters", "wide", "    How wide it is."], "not 'name : type'"),
        (["Parameters", "wide : int"], "no description"),
        (["Parameters", "tall : int", "    How tall it is."], "no parameter tall"),
        (["Returns", "The width, doubled."], "sentence for a type"),
        (["Wishes", "wide : int"], "no section"),
    ],
)
def test_what_is_not_numpydoc_is_found(lines: list[str], said: str) -> None:
    title, *entries = lines
    body = "\n    ".join(["Do it.", "", title, "-" * len(title), *entries])
    source = f'def double(wide: int) -> int:\n    """{body}\n    """\n'
    assert any(said in fault for fault in faults(source))


def test_a_page_of_the_api_is_made_on_demand(tmp_path: Path) -> None:
    # One module, by the function that the command of DEVELOPERS.md calls for all of them.
    import pdoc

    pdoc.render.configure(docformat="numpy")
    pdoc.pdoc("placement.inches", output_directory=tmp_path)
    text = (tmp_path / "placement" / "inches.html").read_text(encoding="utf-8")
    assert "Inches.parse" in text

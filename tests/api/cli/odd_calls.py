"""Calls of the command line that nobody would make on purpose, drawn by lot."""

from __future__ import annotations

import argparse
import contextlib
import io
import random
import traceback
from typing import TYPE_CHECKING

from api.cli.main import main, parser

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

VALUES = (
    "", "0", "-1", "1", "3", "99999999", "1e400", "nan", "inf", "1/0", "1/64", "2 1/2", "abc", "é",
    "\0", "\ud800", "=", "a=b", "=x", "x=", "../x", "none", "a" * 5000, "fabric-1", "fabric-1=",
    "fabric-1=3", "0=fabric-1", "99999=fabric-1", "#ff0000", "#zzz", "mm", "10 mm", "-10 mm",
    "grid:4x5", "stack:0", "yardage:1:1 1/2 yd", "fabric-0=yardage:1", "fabric-0=yardage:x",
    "fabric-0=fat quarter:-3", "plain:ecru", "[]", "{}", "0.1,0.1,0.9,0.1,0.9,0.9,0.1,0.9",
    "postgresql+psycopg://a:b@c/d",
)  # fmt: skip
"""What is given to options, whatever they take."""

_OWN_WORDS = ("Error(", "object at", "Errno", "Traceback", "<class")
"""What only a library says."""


def commands() -> dict[str, argparse.ArgumentParser]:
    """Return every command with what describes its options."""
    (choices,) = (
        action.choices
        for action in parser()._actions
        if isinstance(action, argparse._SubParsersAction)
    )
    for command in choices.values():
        describe, command.describe = command.describe, None
        describe(command)
    return choices


def calls(
    rng: random.Random, known: dict[str, argparse.ArgumentParser], files: Sequence[object]
) -> Iterator[list[str]]:
    """Yield calls without end, with some of those files."""
    while True:
        name = rng.choice(list(known))
        actions = known[name]._actions[1:]
        words = [name]
        places = sum(1 for action in actions if not action.option_strings)
        words += map(str, rng.choices(files, k=max(0, places + rng.choice((-1, 0, 0, 0, 1)))))
        options = [action for action in actions if action.option_strings]
        needed = [action for action in options if action.required]
        for action in needed + rng.sample(options, min(len(options), rng.randrange(4))):
            words.append(rng.choice(action.option_strings))
            if action.nargs != 0:
                words[-1] += f"={_value(rng, action, files)}"
        yield words


def _value(rng: random.Random, action: argparse.Action, files: Sequence[object]) -> object:
    if action.dest in ("out", "data") and rng.random() < 0.8:
        return rng.choice(files)
    if action.choices and rng.random() < 0.6:
        return rng.choice(list(action.choices))
    return rng.choice(VALUES)


def fault(words: list[str]) -> str:
    """Make a call; return what is wrong with how it ends, '' if nothing is."""
    said = io.StringIO()
    try:
        with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
            status = main(words)
    except SystemExit as ended:
        status = int(ended.code or 0)
    except Exception as error:
        at = traceback.extract_tb(error.__traceback__)[-1]
        return f"{type(error).__name__}: {error} ({at.filename}, {at.lineno})"
    text = said.getvalue()
    if any(word in text for word in _OWN_WORDS):
        return f"it says {text!r}"
    if status not in (0, 1, 2) or (status == 2 and not text):
        return f"it ends with {status} and says {text!r}"
    return ""


def odd_files(folder: Path) -> list[Path]:
    """Make files that are none, or not what they are taken for; return their paths."""
    (folder / "folder").mkdir()
    (folder / "empty").touch()
    (folder / "noise.jpg").write_bytes(random.Random(1).randbytes(500))
    (folder / "text").write_text("Dear quilter,\n", encoding="utf-8")
    (folder / "list.json").write_text("[{}]", encoding="utf-8")
    names = ("folder", "empty", "noise.jpg", "text", "list.json", "gone", "gone/gone", "text/below",
             "n" * 300, "new")  # fmt: skip
    return [folder / name for name in names]

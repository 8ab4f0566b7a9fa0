"""Readers that hang up, and plans that name what they do not have: no traceback, no noise."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from api.pattern.planner import make
from api.pattern.stored import to_json

if TYPE_CHECKING:
    from pathlib import Path

    from api.pattern.brief import Brief


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        ("--help",),
        ("--version",),
        ("thread", "PLAN"),
        ("cut", "PLAN"),
        ("sizes", "--block", "nine-patch"),
        ("what-if", "--block", "nine-patch", "--form", "fat eighth"),
    ],
    ids=" ".join,
)
def test_a_reader_that_hangs_up_ends_the_work_in_silence(
    tmp_path: Path, brief: Brief, words: tuple[str, ...]
) -> None:
    plan = tmp_path / "plan.json"
    plan.write_text(to_json(make(brief)), encoding="utf-8")
    given = [str(plan) if word == "PLAN" else word for word in words]
    process = subprocess.Popen(
        [sys.executable, "-m", "api.cli", *given],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"},
    )
    assert process.stdout is not None
    process.stdout.close()
    _, said = process.communicate(timeout=120)
    assert said == ""
    # As a shell reports the signal of POSIX for a pipe without a reader: 128 + 13.
    assert process.returncode == 141


@pytest.mark.parametrize("command", ["cut", "booklet", "thread"])
@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"binding_fabric": "moss"}, "no fabric 'moss' for the binding"),
        ({"block": "log-ladder"}, "no block 'log-ladder'"),
    ],
)
def test_a_plan_that_names_what_it_does_not_have_is_refused_in_words(
    tmp_path: Path, brief: Brief, command: str, change: dict[str, str], named: str
) -> None:
    text = json.loads(to_json(make(brief)))
    text["brief"].update(change)
    plan = tmp_path / "plan.json"
    plan.write_text(json.dumps(text), encoding="utf-8")
    out = ("--out", str(tmp_path / "out.html")) if command == "booklet" else ()
    done = subprocess.run(
        [sys.executable, "-m", "api.cli", command, str(plan), *out],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert named in done.stderr
    assert "Traceback" not in done.stderr

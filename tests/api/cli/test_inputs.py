"""Files named on the command line: what is too large, no file or no plan gets a sentence."""

from __future__ import annotations

import json
import os
import zipfile
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.cli.cut import file_stem
from api.cli.main import main
from api.files import read_bounded
from api.pattern.brief import Brief
from api.pattern.planner import look, make
from api.pattern.stored import to_json
from api.storage.kept import Draft
from api.storage.store import Store
from palette.colour import Lab
from palette.fabric import Fabric, Share

if TYPE_CHECKING:
    from api.pattern.plan import Plan

GREY = Lab(50, 0, 0)


def failed(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """Run a command that fails; return what it says."""
    assert main([str(word) for word in words]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    return said


def test_a_file_is_read_up_to_its_limit(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_bytes(b"12345")
    assert read_bounded(file, 5, "a text") == b"12345"
    with pytest.raises(OSError, match="more than a text can have"):
        read_bounded(file, 4, "a text")


@pytest.mark.parametrize("command", ["cut", "check", "thread", "forms", "methods", "change"])
def test_a_file_of_three_gigabytes_is_not_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    plan = tmp_path / "plan.json"
    with plan.open("wb") as file:
        file.truncate(3_000_000_000)
    assert "has 3000.0 MB, more than a plan can have (2 MB)" in failed(capsys, command, plan)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
@pytest.mark.parametrize("command", ["cut", "check"])
def test_a_pipe_nobody_writes_to_holds_nothing_up(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    os.mkfifo(tmp_path / "plan.json")
    assert "is no ordinary file" in failed(capsys, command, tmp_path / "plan.json")


def test_an_id_that_is_a_path_writes_nothing_outside(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], brief: Brief
) -> None:
    plan = json.loads(to_json(look(brief)))
    plan["brief"]["swatches"][0]["fabric"]["id"] = "/../../../escape"
    inside = tmp_path / "a" / "b"
    inside.mkdir(parents=True)
    (inside / "plan.json").write_text(json.dumps(plan), encoding="utf-8")
    before = set(tmp_path.rglob("*"))
    said = failed(capsys, "cut", inside / "plan.json", "--out", inside / "out")
    assert "can't be a fabric's id" in said
    assert set(tmp_path.rglob("*")) == before


_PARTS = ("..", "/", "\\", "C:", "a", "-", "\0", "~", ".", "moss", "\u2024", "é")


@given(st.lists(st.sampled_from(_PARTS)).map("".join) | st.text(), st.integers(0, 300))
def test_no_id_leads_a_written_path_out_of_its_folder(name: str, which: int) -> None:
    try:
        fabric = Fabric(name, "Any", GREY, (Share(GREY, 1.0),))
    except ValueError:
        return
    out = Path("/somewhere/out")
    path = Path(os.path.normpath(out / f"{file_stem(fabric.id, which)}.svg"))
    assert path.parent == out
    assert not set(path.name) & set("/\\\0:")


@pytest.mark.parametrize("length", ["99999999", "9" * 5000, "1e400", "-3"])
@pytest.mark.parametrize("option", ["--block-size", "--edge", "--border", "--side-square"])
def test_impossible_lengths_are_refused_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], option: str, length: str
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["plan", "photo.jpg", f"{option}={length}", "--out", str(tmp_path / "out")])
    assert ended.value.code == 2
    assert "Traceback" not in capsys.readouterr().err


@pytest.mark.parametrize("width", ["0.01", "99999999", "0"])
def test_a_photo_shows_neither_a_thread_nor_a_field(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], brief: Brief, width: str
) -> None:
    plan = tmp_path / "plan.json"
    plan.write_text(to_json(look(brief)), encoding="utf-8")
    said = failed(capsys, "change", plan, "--shows", f"solid-3={width}")
    assert "from 0.25 to 400 inches" in said


_NASTY = ("../../escape", "/etc/escape", "..\\escape", "C:escape", "-rf", "~", ".", "é" * 80)
"""Names that would lead elsewhere, or nowhere, as names of files."""


@pytest.mark.slow
def test_no_name_leads_what_a_command_writes_out_of_its_place(
    tmp_path: Path, brief: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    named = tuple(
        replace(swatch, fabric=replace(swatch.fabric, name=name))
        for swatch, name in zip(brief.swatches, _NASTY, strict=False)
    )
    swatches = named + brief.swatches[len(named) :]
    plan = make(replace(brief, title="../../escape", count=len(named), swatches=swatches))
    inside = tmp_path / "a" / "b"
    inside.mkdir(parents=True)
    monkeypatch.chdir(inside)
    Path("plan.json").write_text(to_json(plan), encoding="utf-8")
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    assert main(["cut", "plan.json", "--out", "out"]) in (0, 1)
    assert main(["change", "plan.json", "--seed", "5", "--out", "out/plan.json"]) == 0
    assert main(["booklet", "plan.json", "--out", "out/pattern.html"]) == 0
    with closing(Store(inside / "out" / "plans")) as store:
        kept = store.add(Draft(plan.brief.title, to_json(bare(plan)), "Began")).id
    assert main(["keep", kept, "out/plan.zip", "--data", "out/plans"]) == 0
    with zipfile.ZipFile("out/plan.zip") as archive:
        assert archive.namelist() == ["plan.json"]
    written = {path for path in tmp_path.rglob("*") if path.is_file()} - before
    assert len(written) > len(named)
    assert {path for path in written if path.parent != inside / "out"} == set()


def bare(plan: Plan) -> Plan:
    """Return a plan without fabrics, so that it needs no pictures."""
    return look(Brief(title=plan.brief.title))

"""The check command, and the refusal of everything that is told of a plan with a fault."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.booklet.judging.words import text_of
from api.cli.main import main
from api.pattern import checking
from api.pattern.planner import revise
from api.pattern.stored import to_json
from placement.checks.fault import FaultKind, fault
from placement.inches import Inches
from tests.api.varied import varied
from tests.palette.checks.test_judge_of_patches import bold

if TYPE_CHECKING:
    from pathlib import Path

PLAN = varied("four-patch", 1)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Return a file with a sound plan."""
    path = tmp_path / "plan.json"
    path.write_text(to_json(PLAN), encoding="utf-8")
    return path


@pytest.fixture
def faulty(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plant a fault in what is cut: a judge of the layout finds two."""
    faults = (
        fault(FaultKind.OVERLAP, fabric="fabric-0", first=4, second=5),
        fault(FaultKind.BINDING_SPARE, count=9),
    )
    monkeypatch.setattr(checking, "check", lambda _plan, _book: faults)
    monkeypatch.setattr("api.booklet.checking.check", lambda _plan, _book: faults)


FAULTS = (
    "Of 'Moss: dark, no. 2' pieces 4 and 5 overlap.",
    "9 pieces are more than the binding takes.",
)


def test_a_sound_plan_is_said_to_be_checked(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(file)]) == 0
    assert capsys.readouterr().out == "Checked: every piece lies on its cloth.\n"


def test_patches_of_prints_are_told_and_judged_by_the_pictures_beside_the_plan(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Planted: a print told to look alike everywhere, whose picture is of broad stripes."""
    reading = bold()
    first, *rest = PLAN.brief.swatches
    folder = file.parent / "pictures"
    folder.mkdir()
    for squares, status in ((reading.fabric.print.squares, 0), (("34-33-33",), 1)):  # type: ignore[union-attr]
        told = replace(reading.fabric.print, squares=squares)  # type: ignore[type-var]
        fabric = replace(reading.fabric, id=first.fabric.id, print=told)
        striped = replace(first, fabric=fabric, shows=Inches.parse(40), shows_given=True)
        (folder / f"{first.picture}.jpg").write_bytes(reading.picture)
        brief = replace(PLAN.brief, swatches=(striped, *rest))
        file.write_text(to_json(revise(PLAN, brief)), encoding="utf-8")
        assert main(["check", str(file)]) == status
        out = capsys.readouterr().out
        assert ("Patches of 'X' are said to differ by 0.0; cut from its picture" in out) == status
        assert main(["patches", str(file)]) == 0
        line = " leads in " if not status else "all of it looks much alike"
        assert line in capsys.readouterr().out


def test_a_layout_that_breaks_its_brief_is_named(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert PLAN.layout is not None
    first, *rest = PLAN.layout.fabrics
    moved = replace(PLAN.layout, fabrics=(next(f for f in rest if f not in ("", first)), *rest))
    file.write_text(to_json(replace(PLAN, layout=moved)), encoding="utf-8")
    assert main(["check", str(file)]) == 1
    said = capsys.readouterr().out.splitlines()
    assert all("it should fill" in line for line in said)
    assert said


@pytest.mark.usefixtures("faulty")
def test_every_fault_is_listed(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(file)]) == 1
    assert capsys.readouterr().out.splitlines() == list(FAULTS)


@pytest.mark.usefixtures("faulty")
@pytest.mark.parametrize("command", ["cut", "booklet"])
def test_nothing_is_told_of_a_plan_with_a_fault(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    out = tmp_path / ("cutting" if command == "cut" else "pattern.pdf")
    assert main([command, str(file), "--out", str(out)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert all(line in told.err for line in FAULTS)
    assert not out.exists()


def test_a_plan_without_a_layout_asks_for_one(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(to_json(replace(PLAN, layout=None)), encoding="utf-8")
    assert main(["check", str(file)]) == 2
    assert "no layout yet" in capsys.readouterr().err
    assert main(["check", str(file.parent / "gone.json")]) == 2


def test_a_fault_of_the_print_is_named(
    file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Plant a length in the print that the plan does not have."""
    monkeypatch.setattr(
        "api.booklet.chapters.contents.text_of",
        lambda made: f"{text_of(made)} Trim to 77 mm.",
    )
    assert main(["check", str(file)]) == 1
    assert "The print says 77 mm, a length that the plan does not know." in capsys.readouterr().out

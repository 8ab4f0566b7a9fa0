"""Every decision on the command line: made, changed, written into the plan, and refused."""

from __future__ import annotations

import json
import shlex
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from api.cli import decisions as options
from api.cli.main import main
from api.pattern.brief import Band, Brief, Copies, Pin
from api.pattern.decision import decisions, plain
from api.pattern.planner import make
from api.pattern.sewing import OwnCloth, Sewing
from api.pattern.stored import from_json, to_json
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from pathlib import Path

AWKWARD = 'Moss: dark, no. 2 (and "ink")'


@pytest.fixture(scope="module")
def written(brief: Brief) -> str:
    """Return a small plan as it is kept."""
    small = replace(brief, setting=Setting("straight", 3, 3, Inches.parse("8 1/2")), count=4)
    return to_json(make(small))


@pytest.fixture
def plan(tmp_path: Path, written: str) -> Path:
    path = tmp_path / "plan.json"
    path.write_text(written)
    return path


def brief_in(path: Path) -> Brief:
    return from_json(path.read_bytes()).brief


def test_every_decision_of_a_brief_has_an_option_of_its_own() -> None:
    names = [leaf.option for leaf in options.leaves()]
    assert len(set(names)) == len(names)
    inner = sum(len(d.parts) for d in decisions(Brief) if d.name in ("limits", "setting", "sewing"))
    assert len(names) == len(decisions(Brief)) - 3 + inner


MADE: list[tuple[str, str, Any]] = [
    ("--title 'Late orchard'", "title", "Late orchard"),
    ("--background-fabric Ink", "background", "ink"),
    ("--thread plain:ecru", "thread", "plain:ecru"),
    ("--count all", "count", None),
    ("--limit-lost 9", "limits.lost", 9.0),
    ("--across 2", "setting.across", 2),
    ("--block-size '220 mm'", "setting.block_size", Inches.parse("220 mm")),
    ("--sashing '1 1/2' --cornerstones", "setting.cornerstones", True),
    ("--border 1 --border '4 1/2=linen'", "borders",
     (Band(Inches.parse(1)), Band(Inches.parse("4 1/2"), "linen"))),
    ("--border none", "borders", ()),
    ("--count 2 --must-use solid-1 --must-use solid-2 --copies solid-1=5 --copies 'Solid 2=4'",
     "copies", (Copies("solid-1", 5), Copies("solid-2", 4))),
    ("--count 3 --must-use solid-1 --copies solid-1=3", "copies", (Copies("solid-1", 3),)),
    ("--pick-by mood --mood solid-1", "mood", "solid-1"),
    ("--pin 3=", "pins", (Pin(3, ""),)),
    ("--no-turn", "turn", False),
    ("--binding '2 1/4'", "sewing.binding", Inches.parse("2 1/4")),
    ("--side-square 12", "sewing.side_square", Inches.parse(12)),
    ("--cloth 'solid-1=fat eighth, tall:2'", "sewing.cloths",
     (OwnCloth("solid-1", "fat eighth, tall", 2),)),
    ("--units metric", "sewing", Sewing().in_units("metric")),
    ("--units metric --block-size 20", "setting.block_size", Inches.parse("200 mm")),
    ("--units metric --border 12=linen", "borders", (Band(Inches.parse("120 mm"), "linen"),)),
    ("--units metric --shows solid-3=25", "swatches.3.shows", Inches.parse("250 mm")),
    ("--units metric --cloth 'solid-1=yardage:1:90'", "sewing.cloths",
     (OwnCloth("solid-1", "yardage", 1, Inches.parse("900 mm")),)),
    ("--must-use solid-3", "swatches.3.must_use", True),
    ("--shows 'Solid 3=8'", "swatches.3.shows", Inches.parse(8)),
]  # fmt: skip


@pytest.mark.parametrize(("words", "field", "value"), MADE)
def test_a_plan_file_is_changed(plan: Path, words: str, field: str, value: Any) -> None:
    assert main(["change", str(plan), *shlex.split(words)]) in (0, 1)
    found: Any = brief_in(plan)
    for name in field.split("."):
        found = found[int(name)] if name.isdigit() else getattr(found, name)
    assert found == value


def test_blocks_that_no_copies_are_told_for_go_to_the_others_in_even_shares(plan: Path) -> None:
    assert (
        main(
            ["change", str(plan), "--count", "3", "--must-use", "solid-1", "--copies", "solid-1=5"]
        )
        == 0
    )
    made = from_json(plan.read_bytes())
    assert made.layout is not None
    counts = made.layout.counts()
    assert sorted(counts.values()) == [2, 2, 5]
    assert counts["solid-1"] == 5


def test_a_colour_is_held_against_the_fabrics_as_a_thread(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["thread", str(plan), "--fabrics", "#2f4a6b"]) == 0
    first, *rest = capsys.readouterr().out.splitlines()
    assert "of" in first
    choice = from_json(plan.read_bytes()).choice
    assert choice is not None
    assert len(rest) == len({*choice.kept, "linen"})
    assert main(["thread", str(plan), "--fabrics", "#2f4a"]) == 2
    assert "there is no thread '#2f4a'" in capsys.readouterr().err


def test_a_plan_without_a_background_gets_one_by_a_photo(
    tmp_path: Path, brief: Brief, capsys: pytest.CaptureFixture[str]
) -> None:
    plan, photo = tmp_path / "plan.json", tmp_path / "sand.png"
    small = Setting("straight", 2, 2, Inches.parse("8 1/2"))
    plan.write_text(
        to_json(make(replace(brief, backgrounds=(), background="", setting=small, count=4)))
    )
    Image.new("RGB", (640, 640), (214, 200, 170)).save(photo)
    assert main(["cut", str(plan)]) == 2
    assert "add a photo of one before cutting" in capsys.readouterr().err
    words = ["--background", str(photo), "--name", "solid-1=Moss", "--leave-out", "solid-5"]
    assert main(["change", str(plan), *words]) == 0
    said = capsys.readouterr().out
    assert said.startswith(
        "Added 1 background.\nChanged the name and a mark 'leave out' of single fabrics.\n"
    )
    (ground,) = brief_in(plan).backgrounds
    assert (tmp_path / "pictures" / f"{ground.picture}.jpg").is_file()
    assert main(["cut", str(plan)]) == 0
    assert "In lengths to buy are 1/2 in for squaring up both ends and 3 % for shrinking." in (
        capsys.readouterr().out
    )


def test_a_change_that_leaves_no_layout_is_told_and_not_written(
    plan: Path, written: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["change", str(plan), "--copies", "solid-1=1"]) == 1
    assert plan.read_text() == written
    said = capsys.readouterr().err
    assert "blocks are to be filled" in said
    assert "Nothing was written" in said


def test_the_layout_stays_where_nothing_it_depends_on_has_changed(plan: Path, written: str) -> None:
    other = plan.parent / "a new folder" / "plan.json"
    assert main(["change", str(plan), "--binding", "2 1/4", "--out", str(other)]) == 0
    assert plan.read_text() == written
    new, old = from_json(other.read_bytes()), from_json(written)
    assert new.layout == old.layout
    assert new.brief != old.brief


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("--seam 3", "--seam: must be above 0 and at most 2 inches, not 3"),
        ("--binding '9999 in'", "--binding: must be above 0 and at most 1000 inches, not 9999"),
        ("--binding wide", "--binding: 'wide' is not a length"),
        ("--border 0", "--border: width: must be above 0"),
        ("--shrinkage 21", "must be from 0 to 20 per cent, not 21"),
        ("--form duvet", "there is no form of cloth 'duvet'; choose one of"),
        ("--binding-fabric velvet", "there is no fabric 'velvet' for the binding; choose one of"),
        ("--copies velvet=2", "there is no fabric 'velvet' in the bundle"),
        ("--copies solid-1", "has no '='; write FABRIC=BLOCKS"),
        ("--pin 99=solid-1", "there is no block 99; this setting has 0 to 8"),
        ("--name solid-1", "write FABRIC=NAME"),
        ("--name solid-1=" + "x" * 81, "--name: takes at most 80 characters, not 81"),
        ("--mood solid-1", "--mood is for picks by mood: give --pick-by mood as well"),
        ("--pick-by mood --mood-colour velvet", "'velvet' is not a colour"),
        ("--cornerstones", "give --sashing a width as well"),
        ("--background-fabric solid-1", "there is no background 'solid-1' among the candidates"),
    ],
)
def test_a_wrong_decision_is_told_and_the_file_stays(
    plan: Path, written: str, words: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        status = main(["change", str(plan), *shlex.split(words)])
    except SystemExit as stopped:
        status = int(str(stopped.code))
    assert status == 2
    assert says in capsys.readouterr().err
    assert plan.read_text() == written


@pytest.mark.parametrize("form", ["fat quarter", "2 1/2-inch strip", "fat eighth, tall"])
def test_any_form_can_be_an_alternate(plan: Path, form: str) -> None:
    assert main(["change", str(plan), "--alternate-form", form]) == 0
    assert from_json(plan.read_bytes()).brief.sewing.alternates == (form,)


def test_a_plan_without_backgrounds_says_where_they_come_from() -> None:
    with pytest.raises(ValueError, match=r"no background 'linen' .* nor any other; plan takes"):
        options.applied(Brief(), {"background": "linen"})


def test_what_is_told_to_cut_is_written_into_the_plan(plan: Path, written: str) -> None:
    terms = ["--form", "fat eighth", "--side-square", "12"]
    assert main(["cut", str(plan), *terms, "--dry-run"]) in (0, 1)
    assert plan.read_text() == written
    assert main(["cut", str(plan), *terms]) in (0, 1)
    sewing = brief_in(plan).sewing
    assert (sewing.form, sewing.side_square) == ("fat eighth", Inches.parse(12))


def test_a_write_that_fails_leaves_the_old_file_whole(
    plan: Path, written: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("os.replace", stop)
    assert main(["cut", str(plan), "--form", "fat eighth"]) == 130
    assert plan.read_text() == written
    assert [path.name for path in plan.parent.iterdir()] == ["plan.json"]


def test_a_file_that_cannot_be_written_is_named_as_it_was_asked_for(
    plan: Path, written: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (plan.parent / "nowhere").write_text("no folder", encoding="utf-8")
    wanted = plan.parent / "nowhere" / "new.json"
    assert main(["change", str(plan), "--title", "Lighthouse", "--out", str(wanted)]) == 2
    assert f"spreadwell: {wanted.parent}: File exists" in capsys.readouterr().err
    assert plan.read_text() == written


def test_a_form_that_is_not_sold_is_told_with_those_that_are(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        main(["what-if", "--form", "fat sixteenth"])
    said = capsys.readouterr().err
    assert "no form of cloth 'fat sixteenth'" in said
    assert "fat eighth; fat eighth, tall;" in said


def test_a_name_with_every_sign_of_the_command_line_in_it_goes_through(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["change", str(plan), "--name", f"solid-1={AWKWARD}"]) == 0
    words = ["--border", f"2={AWKWARD}", "--binding-fabric", AWKWARD, "--must-use", AWKWARD,
             "--cloth", f"{AWKWARD}=fat eighth", "--ban", f"0={AWKWARD}"]  # fmt: skip
    assert main(["change", str(plan), *words]) in (0, 1)
    brief = brief_in(plan)
    assert brief.swatches[1].fabric.name == AWKWARD
    assert brief.borders == (Band(Inches.parse(2), "solid-1"),)
    assert brief.binding_fabric == "solid-1"
    assert brief.sewing.cloths == (OwnCloth("solid-1", "fat eighth"),)
    assert brief.bans[0].fabrics == ("solid-1",)
    capsys.readouterr()
    assert main(["cut", str(plan)]) in (0, 1)
    assert AWKWARD in capsys.readouterr().out


NAMES = st.text(min_size=1, max_size=80).map(plain).filter(bool)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=NAMES)
def test_any_name_can_be_given_and_named_by(plan: Path, written: str, name: str) -> None:
    plan.write_text(written)
    options_ = [f"--name=solid-1={name}", f"--out={plan}"]
    assert main(["change", str(plan), *options_]) == 0
    assert brief_in(plan).swatches[1].fabric.name == name
    words = [f"--binding-fabric={name}", f"--border=2={name}", f"--cloth={name}=fat eighth"]
    assert main(["cut", str(plan), words[2], "--dry-run"]) in (0, 1)
    assert main(["change", str(plan), *words]) == 0
    brief = brief_in(plan)
    assert (brief.binding_fabric, brief.borders[0].fabric) == ("solid-1", "solid-1")
    assert brief.sewing.cloths[0].fabric == "solid-1"
    assert json.loads(plan.read_text())["brief"]["swatches"][1]["fabric"]["name"] == name

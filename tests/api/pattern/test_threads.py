"""Threads of a plan: on the page, in words, in the booklet and on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from api.booklet.output.web import booklet_html
from api.cli.main import main
from api.pattern.stored import from_json
from tests.api.talk import Json, ok, problem

if TYPE_CHECKING:
    from pathlib import Path

    from fastapi.testclient import TestClient

    from api.storage.kept import Draft, Saved


def by_id(view: Json) -> dict[str, Json]:
    """Return the threads of a view by id."""
    return {entry["id"]: entry for entry in view["threads"]}


def test_plain_threads_are_always_judged_over_all_that_is_quilted(
    client: TestClient, plan: Saved
) -> None:
    view = ok(client.get(f"/api/plans/{plan.id}"))
    assert len(view["threads"]) >= 12
    crossed = {*view["plan"]["choice"]["kept"], view["plan"]["background"]}
    for entry in view["threads"]:
        verdicts = [*entry["shows"], *entry["soft"], *entry["vanishes"]]
        assert sorted(verdicts) == sorted(crossed)
        assert not entry["own"]
    assert [entry["calm"] for entry in view["threads"]].count(True) == 1
    assert [entry["showy"] for entry in view["threads"]].count(True) == 1
    # Planted: the background is a pale linen, the slate a middle blue.
    assert "linen" in by_id(view)["plain:black"]["shows"]
    assert "linen" in by_id(view)["plain:white"]["vanishes"]


def test_an_empty_plan_has_threads_but_no_pick(client: TestClient) -> None:
    view = ok(client.post("/api/plans"))
    assert view["threads"]
    assert not any(entry["calm"] or entry["showy"] for entry in view["threads"])


def test_her_own_threads_come_first_and_vanish_on_their_own_colour(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    slate = ok(client.get(here))["colours"]["slate-blue"]
    wish = {"colour": slate, "role": "thread", "name": "My blue"}
    view = ok(client.post(f"{here}/colours", json=wish))
    first = view["threads"][0]
    assert (first["id"], first["name"], first["own"]) == ("my-blue", "My blue", True)
    assert first["colour"] == slate
    assert "slate-blue" in first["vanishes"]
    assert "linen" in first["shows"]
    assert view["plan"]["layout"] == ok(client.get(here))["plan"]["layout"]


def test_a_thread_is_chosen_told_and_forgotten_with_its_candidate(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    ok(client.post(f"{here}/colours", json={"colour": "#203858", "role": "thread", "name": "Ink"}))
    view = ok(client.patch(f"{here}/brief", json={"thread": "ink"}))
    assert any(line.startswith("Quilted with 'Ink': shows on ") for line in view["summary"])
    assert client.get(f"{here}/revisions").json()[-1]["what"] == "Changed the thread"
    assert ok(client.delete(f"{here}/fabrics/ink"))["plan"]["brief"]["thread"] == ""
    view = ok(client.patch(f"{here}/brief", json={"thread": "plain:ecru"}))
    assert any("'Ecru'" in line for line in view["summary"])
    assert ok(client.patch(f"{here}/brief", json={"thread": ""}))["plan"]["brief"]["thread"] == ""


@pytest.mark.parametrize("thread", ["moss", "plain:mauve", "nowhere"])
def test_a_thread_there_is_not_can_t_be_chosen(
    client: TestClient, plan: Saved, thread: str
) -> None:
    text = problem(client.patch(f"/api/plans/{plan.id}/brief", json={"thread": thread}), 422)
    assert f"no thread '{thread}' among the candidates" in text


def test_the_booklet_names_the_chosen_thread(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    before = from_json(client.get(f"{here}/plan.json").content)
    assert "To quilt with" not in booklet_html(before, {})
    ok(client.patch(f"{here}/brief", json={"thread": "plain:pearl-grey"}))
    after = from_json(client.get(f"{here}/plan.json").content)
    assert "To quilt with: Pearl grey." in booklet_html(after, {})


@pytest.fixture
def kept(tmp_path: Path, finished: Draft) -> Path:
    """Return a plan in a file."""
    file = tmp_path / "plan.json"
    file.write_text(finished.body, encoding="utf-8")
    return file


def test_the_command_prints_every_thread_and_both_picks(
    kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["thread", str(kept), "--colour", "#46608c"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("blue ")
    assert any(line.startswith("plain:white") for line in lines)
    text = "\n".join(lines)
    assert text.count("the calm pick") == text.count("the showy pick") == 1
    assert main(["thread", str(kept), "--fabrics", "plain:white"]) == 0
    said = capsys.readouterr().out
    assert "vanishes" in said.splitlines()[1]
    assert "linen" in said.splitlines()[1]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--colour", "mauve"], "'mauve' is not a colour"),
        (["--fabrics", "plain:mauve"], "no thread 'plain:mauve'; choose one of plain:white"),
    ],
)
def test_a_wrong_thread_is_told(
    kept: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    assert main(["thread", str(kept), *words]) == 2
    assert says in capsys.readouterr().err


def test_a_file_that_is_no_plan_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["thread", str(tmp_path / "none.json")]) == 2
    (tmp_path / "bad.json").write_text("{}", encoding="utf-8")
    assert main(["thread", str(tmp_path / "bad.json")]) == 2
    assert "bad.json: this file is damaged or no plan" in capsys.readouterr().err

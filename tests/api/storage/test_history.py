"""A plan's file with its history: every state comes back; what does not fit together stays out.

What files and data files hold is told by zipfile, json and sqlite3 alone.
"""

from __future__ import annotations

import io
import json
import zipfile
from typing import TYPE_CHECKING, Any

import pytest

import api.storage.history
import api.storage.planfile
from api.cli.main import main
from api.storage.planfile import packed, take_in
from api.storage.store import Store
from tests.api.library import NAMES, held, keep
from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from fastapi.testclient import TestClient

    from api.photos.worker_pool import Reader


@pytest.mark.slow
def test_plans_with_their_history_are_the_same_elsewhere(
    store: Store, tmp_path: Path, reader: Reader
) -> None:
    other = Store(tmp_path / "other")
    for name in (NAMES[0], NAMES[-1]):
        plan = keep(store, name)
        done = take_in(other, reader, packed(store, plan, history=True))
        assert (done.lacking, done.left_out) == (0, 0)
        assert other.redo(done.saved.id).body == store.redo(plan).body
    other.close()
    assert held(tmp_path / "other") == held(tmp_path / "plans.sqlite3")


def files_of(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return out.getvalue()


@pytest.fixture
def file(store: Store) -> dict[str, bytes]:
    """Return what is in the file of a plan that stands at the third of five changes."""
    return files_of(packed(store, keep(store, NAMES[0]), history=True))


def test_the_history_is_there_when_it_is_asked_for(client: TestClient, store: Store) -> None:
    plan = keep(store, NAMES[0])
    path = f"/api/plans/{plan}/plan.zip"
    without = files_of(client.get(path).content)
    file = client.get(f"{path}?history=true").content
    wanted = {"history.json", *(f"history/{number}.json" for number in (1, 2, 4, 5))}
    # A fabric that was taken out by the third change is shown by the others.
    (removed,) = files_of(file).keys() - without.keys() - wanted
    assert removed.startswith("pictures/")
    assert json.loads(files_of(file)["history.json"])["at"] == 3
    opened = ok(client.post("/api/plans/open", files={"file": ("plan.zip", file)}))
    assert (opened["revision"], opened["note"]) == (3, "")
    lines = [client.get(f"/api/plans/{name}/revisions").json() for name in (plan, opened["id"])]
    assert lines[0] == lines[1]
    shown = ok(client.post(f"/api/plans/{opened['id']}/undo"))
    name = removed.removeprefix("pictures/").removesuffix(".jpg")
    assert any(name in address for address in shown["pictures"].values())


Files = dict[str, bytes]


def index(change: Callable[[Any], object]) -> Callable[[Files], object]:
    """Return what changes the list of changes in a file."""

    def edit(files: Files) -> None:
        listed = json.loads(files["history.json"])
        change(listed)
        files["history.json"] = json.dumps(listed).encode()

    return edit


def line(at: int, **told: object) -> Callable[[Files], object]:
    return index(lambda listed: listed["changes"][at].update(told))


WRONG: dict[str, Callable[[Files], object]] = {
    "they have no list": lambda files: files.pop("history.json"),
    "the list names others": lambda files: files.pop("history/4.json"),
    "names others than": lambda files: files.update({"history/9.json": files["history/4.json"]}),
    "do not follow one another": line(1, number=1),
    "their numbers do": index(lambda listed: listed.update(at=9)),
    "changes.0.made_at": line(0, made_at="yesterday"),
    "changes.2.what": line(2, what="\x1b[2Jgone"),
    "changes.1.number": line(1, number=2**40),
    "changes.0.more": line(0, more="x"),
    "changes: ": index(lambda listed: listed.update(changes=[])),
    "of change 4: this file is damaged": lambda files: files.update({"history/4.json": b"[]"}),
    "of change 1: the plan in this file": lambda files: files.update(
        {"history/1.json": files["history/1.json"].replace(b"fabric-1", b"fabric 1")}
    ),
    "NaN is no number": lambda files: files.update({"history.json": b'{"at": NaN}'}),
    "history/0001.json": lambda files: files.update({"history/0001.json": b"{}"}),
}


def test_a_history_that_does_not_fit_together_is_refused_in_words(
    client: TestClient, store: Store, file: Files
) -> None:
    before = store.plans()
    for words, change in WRONG.items():
        files = dict(file)
        change(files)
        sent = {"file": ("plan.zip", zipped(files))}
        told = problem(client.post("/api/plans/open", files=sent), 422)
        assert words in told, (words, told)
    assert store.plans() == before


def test_what_takes_too_long_to_read_says_how_to_open_the_rest(
    store: Store, file: Files, reader: Reader, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(api.storage.planfile, "SECONDS", -1)
    with pytest.raises(ValueError, match="take history"):
        take_in(store, reader, zipped(file))
    monkeypatch.undo()
    rest = {name: data for name, data in file.items() if not name.startswith("history")}
    assert take_in(store, reader, zipped(rest)).saved.revision == 1


@pytest.mark.parametrize("limit", ["MOST_STEPS", "MOST_PAST"])
def test_of_very_many_changes_the_oldest_are_left_out_and_counted(
    store: Store, reader: Reader, monkeypatch: pytest.MonkeyPatch, limit: str
) -> None:
    plan = keep(store, NAMES[0])
    room = {"MOST_STEPS": 3, "MOST_PAST": 2 * len(store.step(plan, 5).body) + 1000}[limit]
    monkeypatch.setattr(api.storage.history, limit, room)
    done = take_in(store, reader, packed(store, plan, history=True))
    assert [line.revision for line in store.revisions(done.saved.id)] == [3, 4, 5]
    assert done.left_out == 2


def test_pictures_that_a_file_lacks_are_plain_cloth_in_all_its_states(
    tmp_path: Path, file: Files, reader: Reader
) -> None:
    other = Store(tmp_path / "other")
    bare = {name: data for name, data in file.items() if not name.startswith("pictures")}
    done = take_in(other, reader, zipped(bare))
    assert done.lacking == 9
    for number in (1, 5):
        brief = json.loads(other.step(done.saved.id, number).body)["brief"]
        for swatch in (*brief["swatches"], *brief["backgrounds"], *brief["threads"]):
            assert other.picture(swatch["picture"])
            assert swatch["fabric"]["warnings"][-1]["fault"] == "no picture"
    other.close()


@pytest.mark.slow
def test_the_commands_give_a_plan_away_and_take_it_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here, there, file = tmp_path / "here", tmp_path / "there", tmp_path / "plan.zip"
    with_data = ["--data", str(here)]
    assert main(["keep", "Moss", str(file), *with_data]) == 2
    assert "there are no plans here yet" in capsys.readouterr().err
    store = Store(here)
    plans = [keep(store, NAMES[0]) for _ in range(2)]
    title = store.plans()[0].title
    store.close()
    for wanted, told in (("Moss", "there is no plan 'Moss'"), (title, "2 plans are called")):
        assert main(["keep", wanted, str(file), *with_data]) == 2
        said = capsys.readouterr().err
        assert told in said
        assert plans[1] in said
        assert not file.exists()
    assert main(["keep", plans[0], str(file), "--history", *with_data]) == 0
    assert "with its pictures and its 5 changes" in capsys.readouterr().out
    assert main(["open", str(file), "--data", str(there)]) == 0
    assert "among your plans, with 5 changes." in capsys.readouterr().out
    ((key, value),) = held(there).items()
    assert held(here)[key] == value
    file.write_bytes(b"PK")
    assert main(["open", str(file), "--data", str(there)]) == 2
    assert "damaged or cut short" in capsys.readouterr().err

"""Files that earlier programs wrote (tests/data/plans): each opens, and says what it said.

They were written by the programs of their time and are never written anew. What is
expected is read from the files themselves, by json and sqlite3 alone.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
import zipfile
import zlib
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from api.pattern.checking_picks import check_picks
from api.pattern.stored import from_json, stored, to_json, whole
from api.pattern.untrusted import vetted
from api.storage.archive import unpack
from api.storage.store import Store

if TYPE_CHECKING:
    from api.pattern.plan import Plan

KEPT = Path(__file__).parents[2] / "data" / "plans"
FORMS = ("form-1", "form-2")


def _object(form: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((KEPT / f"{form}.json").read_text(encoding="utf-8"))
    return data


def _says_the_same(plan: Plan, written: dict[str, Any]) -> None:
    """Hold a plan against the object that an earlier program wrote."""
    brief, layout, quality = written["brief"], written["layout"], written["quality"]
    assert plan.brief.title == brief["title"]
    assert [s.fabric.id for s in plan.brief.swatches] == [
        s["fabric"]["id"] for s in brief["swatches"]
    ]
    assert [s.picture for s in plan.brief.backgrounds] == [
        s["picture"] for s in brief["backgrounds"]
    ]
    assert plan.background == written["background"]
    assert plan.choice is not None
    assert list(plan.choice.kept) == written["choice"]["kept"]
    assert plan.layout is not None
    assert list(plan.layout.fabrics) == layout["fabrics"]
    assert list(plan.layout.pinned) == layout["pinned"]
    assert plan.by_hand == written["by_hand"]
    assert plan.quality is not None
    for name in ("closest", "reach", "bound", "wanted", "copies_apart", "spread", "balance"):
        assert getattr(plan.quality, name) == pytest.approx(quality[name]), name
    assert [(c.fabric, c.background, c.verdict) for c in plan.contrasts] == [
        (c["fabric"], c["background"], c["verdict"]) for c in written["contrasts"]
    ]
    differences = [c["difference"] for c in written["contrasts"]]
    assert [c.difference for c in plan.contrasts] == pytest.approx(differences)


@pytest.mark.parametrize("form", FORMS)
def test_a_plan_file_of_an_earlier_form_says_what_it_said(form: str) -> None:
    text = (KEPT / f"{form}.json").read_bytes()
    plan = from_json(text)
    _says_the_same(plan, _object(form))
    assert whole(stored(to_json(plan))) == plan


def test_what_was_decided_on_borders_and_cloth_is_kept() -> None:
    one, two = (from_json((KEPT / f"{form}.json").read_bytes()).brief for form in FORMS)
    # As the files say: form 1 has one border, form 2 a list, cloth at hand and a thread.
    assert [(str(band.width), band.fabric) for band in one.borders] == [("2 1/2", "moss")]
    assert [(str(band.width), band.fabric) for band in two.borders] == [
        ("2", "moss"),
        ("3 1/2", ""),
    ]
    assert (two.thread, two.binding_fabric) == ("pearl", "slate")
    assert [cloth.fabric for cloth in two.sewing.cloths] == ["moss"]
    assert [(ban.cell, ban.fabrics) for ban in two.bans] == [(1, ("slate",))]


@pytest.mark.parametrize("form", FORMS)
def test_a_zip_file_of_an_earlier_form_opens_with_its_pictures(form: str) -> None:
    path = KEPT / f"{form}.zip"
    parcel = unpack(
        path.read_bytes(),
        lambda text: to_json(vetted(text)).encode(),
        lambda _data, _name, **_: None,
    )
    _says_the_same(parcel.plan, _object(form))
    with zipfile.ZipFile(path) as archive:
        names = {name for name in archive.namelist() if name.startswith("pictures/")}
    wanted = {f"pictures/{swatch.picture}.jpg" for swatch in parcel.plan.brief.everything()}
    assert not parcel.missing
    assert {f"pictures/{name}.jpg" for name in parcel.pictures} == names & wanted


@pytest.mark.parametrize("form", ["1", "2", "3"])
def test_a_data_file_of_an_earlier_form_opens_with_all_its_plans(form: str, tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite3"
    shutil.copy(KEPT / f"data-{form}.sqlite3", path)
    link = sqlite3.connect(path)
    rows = link.execute(
        "select id, cursor, title, body from plans "
        "join revisions on plan = id and number = cursor order by saved_at desc"
    ).fetchall()
    pictures = dict(link.execute("select name, data from pictures"))
    families = {}
    if form != "1":
        table = {"2": "kin", "3": "variants"}[form]
        families = dict(link.execute(f"select plan, family from {table}"))
        ((word, shown),) = link.execute("select token, plan from links")
    link.close()
    store = Store(path)
    assert [(e.id, e.revision, e.title) for e in store.plans()] == [row[:3] for row in rows]
    for plan, cursor, _, body in rows:
        saved = store.get(plan)
        assert saved.revision == cursor
        read = from_json(saved.body)

        _says_the_same(read, json.loads(zlib.decompress(body)))
    assert {name: store.picture(name) for name in pictures} == pictures
    for entry in store.plans():
        assert entry.family == families.get(entry.id, entry.id)
    if form != "1":
        assert len(set(families.values())) < len(rows)
        assert store.linked(word) == shown
        assert [line.what for line in store.revisions(shown)] == [
            "Began with the bundle",
            "Changed the background",
        ]
        assert store.redo(shown).revision == 2
    store.close()


def test_a_pick_of_form_3_stays_and_its_reasons_name_what_is_used() -> None:
    written = _object("form-3")
    # As the file says: a twin was held against a fabric that is not used itself.
    kept = written["choice"]["kept"]
    others = {e["other"] for e in written["choice"]["left_out"] if e["reason"] == "twin"}
    assert others
    assert others.isdisjoint(kept)
    plan = from_json((KEPT / "form-3.json").read_bytes())
    assert plan.choice is not None
    assert list(plan.choice.kept) == kept
    assert check_picks(plan) == ()
    assert plan.layout is not None
    assert list(plan.layout.fabrics) == written["layout"]["fabrics"]
    # Limits of her own, 3 at a distance and 6 close by, weighed as the difference weighs them.
    assert plan.brief.limits.twin == 4.7
    assert whole(stored(to_json(plan))) == plan

"""All plans go into a copy and come back the same; a damaged file is told, and mended from it."""

from __future__ import annotations

import os
import random
import re
import sqlite3
from dataclasses import astuple
from typing import TYPE_CHECKING

import pytest

from api.cli.main import main
from api.photos.intake import picture_name
from api.storage.backup import DAY, back_up, daily_copy, keep_daily, mend, restore
from api.storage.database import StoreError
from api.storage.kept import Draft
from api.storage.store import Store

if TYPE_CHECKING:
    from pathlib import Path

EVERY_PAGE = bool(os.environ.get("EVERY_PAGE"))
"""Whether each page is damaged in turn; that takes half a minute."""
PAGE = 4096
"""Bytes of a page of SQLite, unless it is told otherwise."""


def filled(path: Path, plans: int = 6, size: int = 8_000) -> dict[str, object]:
    """Fill a data file with plans, each with its history; return what it holds."""
    noise, store = random.Random(plans), Store(path)
    for number in range(plans):
        pictures = [noise.randbytes(size) for _ in range(2)]
        body = noise.randbytes(size // 4).hex()
        held = {picture_name(data): data for data in pictures}
        plan = store.add(Draft(f"Plan {number}", body, "Began", held)).id
        store.save(plan, Draft(f"Plan {number} again", body[::-1], "Changed"), expected=1)
        if number % 3 == 1:
            store.add(Draft(f"Copy of {number}", body, "Began"), like=plan)
            store.link(plan)
            store.undo(plan)
    found = held_in(store)
    store.close()
    return found


def held_in(store: Store) -> dict[str, object]:
    """Return everything that a store holds: plans, history, links, families, pictures."""
    link = store._database
    found: dict[str, object] = {}
    for entry in store.plans():
        plan = entry.id
        found[plan] = (
            astuple(entry),
            store.get(plan),
            [astuple(line) for line in store.revisions(plan)],
            store.token(plan),
        )
    with link.reading() as opened:
        rows = opened.exec_driver_sql("SELECT plan, picture FROM uses ORDER BY 1, 2").all()
    found["pictures"] = [(plan, name, store.picture(name)) for plan, name in rows]
    return found


def opened(path: Path) -> dict[str, object]:
    """Return everything in a data file."""
    store = Store(path)
    found = held_in(store)
    store.close()
    return found


def test_a_copy_taken_back_on_a_fresh_file_holds_the_same(tmp_path: Path) -> None:
    data, copy, fresh = tmp_path / "plans", tmp_path / "copy", tmp_path / "fresh"
    held = filled(data, 30)
    back_up(data, copy)
    assert not copy.stat().st_mode & 0o077
    assert restore(copy, fresh) is None
    assert opened(fresh) == held


def test_what_a_copy_replaces_is_kept_beside(tmp_path: Path) -> None:
    data, copy = tmp_path / "plans", tmp_path / "copy"
    held = filled(data, 2)
    back_up(data, copy)
    other = Store(data)  # A program that runs sees the plans of the copy at once.
    other.add(Draft("New", "{}", "Began"))
    before = restore(copy, data)
    assert held_in(other) == held
    other.close()
    assert before is not None
    assert "New" in {entry[0][1] for entry in opened(before).values() if isinstance(entry, tuple)}


@pytest.mark.parametrize("what", ["missing", "text", "another program's", "damaged"])
def test_what_is_no_copy_changes_nothing(tmp_path: Path, what: str) -> None:
    data, copy = tmp_path / "plans", tmp_path / "copy"
    held = filled(data, 2)
    if what == "text":
        copy.write_text("no copy", encoding="utf-8")
    elif what == "another program's":
        with sqlite3.connect(copy) as link:
            link.execute("CREATE TABLE accounts (name TEXT)")
        link.close()
    elif what == "damaged":
        back_up(data, copy)
        harm(copy, 3)
    with pytest.raises(StoreError, match="copy"):
        restore(copy, data)
    assert opened(data) == held


def harm(path: Path, page: int) -> None:
    """Overwrite a page of a data file."""
    with path.open("r+b") as file:
        file.seek(page * PAGE)
        file.write(b"\xa5" * PAGE)


def test_a_daily_copy_is_made_once_a_day(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    filled(data, 1)
    assert keep_daily(data)
    assert not keep_daily(data)
    made = daily_copy(data).stat().st_mtime
    assert not keep_daily(data, made + DAY - 1)
    assert keep_daily(data, made + DAY)


def test_a_damaged_file_does_not_take_the_place_of_a_sound_copy(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    filled(data)
    keep_daily(data)
    sound = daily_copy(data).read_bytes()
    harm(data, 4)
    os.utime(daily_copy(data), (0, 0))
    with pytest.raises(StoreError, match="damaged"):
        keep_daily(data)
    assert daily_copy(data).read_bytes() == sound


def test_what_is_deleted_is_deleted_from_the_daily_copy_too(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    picture = random.Random(5).randbytes(50_000)
    store = Store(data)
    plan = store.add(Draft("Gone", "{}", "Began", {picture_name(picture): picture})).id
    keep_daily(data)
    assert picture[:64] in daily_copy(data).read_bytes()
    store.delete(plan)
    store.close()
    assert picture[1000:1064] not in daily_copy(data).read_bytes()
    assert opened(daily_copy(data)) == {"pictures": []}


@pytest.mark.slow
def test_whichever_page_is_damaged_others_are_listed_and_all_are_mended(tmp_path: Path) -> None:
    sound = tmp_path / "sound"
    held = filled(sound)
    pages = sound.stat().st_size // PAGE
    assert pages > 20
    listed = 0
    tried = range(pages) if EVERY_PAGE else (*range(4), *range(4, pages, 5))
    for page in tried:
        data = tmp_path / f"damaged-{page}"
        data.write_bytes(sound.read_bytes())
        keep_daily(data)
        harm(data, page)
        listed += _is_told(data, held)
        done = mend(data)
        assert done.lost == ()
        assert opened(data) == held, page
    # Where a page of the tables themselves is gone, nothing can be listed; that is told.
    assert listed > 0.6 * len(tried)


def _is_told(data: Path, held: dict[str, object]) -> bool:
    """Look at a damaged file: tell whether every plan is listed; what can't be read is told."""
    told: list[str] = []
    names: set[str] = set()
    store = None
    try:
        store = Store(data)
        names = {entry.id for entry in store.plans()}
    except StoreError as fault:
        told.append(str(fault))
    for name in names if store else ():
        try:
            store.get(name)
        except StoreError as fault:
            told.append(str(fault))
    if store:
        store.close()
    assert all(re.search("mend|damaged|another program|no plan", words) for words in told), told
    return names >= held.keys() - {"pictures"}


def test_the_commands_say_what_they_did(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data, copy = tmp_path / "plans", tmp_path / "copy"
    told = ["--data", str(data)]
    assert main(["backup", str(copy), *told]) == 2
    assert "there are no plans here yet" in capsys.readouterr().err
    held = filled(data, 1)
    assert main(["backup", str(copy), *told]) == 0
    assert "'spreadwell restore" in capsys.readouterr().out
    assert main(["restore", str(copy), *told]) == 0
    assert "what was there before is in" in capsys.readouterr().out
    assert opened(data) == held
    assert main(["mend", *told]) == 2
    assert "no daily copy" in capsys.readouterr().err
    keep_daily(data)
    assert main(["mend", *told]) == 0
    assert "1 plan was sound" in capsys.readouterr().out

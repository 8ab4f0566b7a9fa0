"""All plans go into a copy and come back the same; a damaged file is told, and mended from it."""

from __future__ import annotations

import os
import random
import re
import sqlite3
from typing import TYPE_CHECKING

import pytest

from api.cli.main import main
from api.photos.intake import picture_name
from api.storage.backup import DAY, back_up, daily_copy, keep_daily, mend, restore
from api.storage.database import StoreError
from api.storage.kept import DamagedError, Draft
from api.storage.store import Store
from tests.api.storage.damaging import PAGE, after, filled, held_in, opened, pages_of

if TYPE_CHECKING:
    from pathlib import Path


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
    keep_daily(sound)
    whole, copy = bytearray(sound.read_bytes()), daily_copy(sound).read_bytes()
    pages = len(whole) // PAGE
    assert pages > 20
    came = []
    for page in (*range(4), *range(4, pages, 5)):
        damaged = bytearray(whole)
        damaged[page * PAGE : (page + 1) * PAGE] = b"\xa5" * PAGE
        looks, done = after(tmp_path / "plans", bytes(damaged), copy, held)
        came.append(looks)
        assert done == "mended", page
    assert all(re.match("told, |as it was", looks) for looks in came), came
    # Where a page of the tables themselves is gone, nothing can be listed; that is told.
    listed = [looks for looks in came if "not listed" not in looks]
    assert len(listed) > 0.6 * len(came)


@pytest.mark.slow
def test_whichever_byte_of_a_page_is_damaged_it_is_told_and_mended(tmp_path: Path) -> None:
    # tests/bench/bench_damage.py tries every byte.
    sound = tmp_path / "sound"
    held = filled(sound, 2)
    keep_daily(sound)
    whole, copy = sound.read_bytes(), daily_copy(sound).read_bytes()
    for page in pages_of(sound, "Plan 1 again"):
        for at in range(19 if page else 0, PAGE, 701):
            damaged = bytearray(whole)
            damaged[page * PAGE + at] ^= 0xA5
            looks, done = after(tmp_path / "plans", bytes(damaged), copy, held)
            assert re.match("told, |as it was", looks), (page, at, looks)
            assert done == "mended", (page, at)


@pytest.mark.parametrize("column", ["title", "what", "made_at"])
def test_a_letter_that_is_another_is_told_and_mended(tmp_path: Path, column: str) -> None:
    data = tmp_path / "plans"
    held = filled(data, 1)
    keep_daily(data)
    with sqlite3.connect(data) as link:
        link.execute(f"UPDATE revisions SET {column} = replace({column}, 'a', 'o') || '0'")
    link.close()
    store = Store(data)
    (entry,) = store.plans()
    with pytest.raises(DamagedError, match="its seal is broken"):
        store.get(entry.id)
    store.close()
    assert mend(data).restored == ("Plan 0 again",)
    assert opened(data) == held


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

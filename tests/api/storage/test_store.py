"""The store against a plain list that behaves as undo and redo are commonly understood."""

from __future__ import annotations

import hashlib
import sqlite3
import threading
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from api.storage.database import StoreError
from api.storage.kept import ConflictError, Draft, MissingError, StuckError
from api.storage.store import Store

if TYPE_CHECKING:
    from pathlib import Path


def draft(text: str, **pictures: bytes) -> Draft:
    named = {hashlib.sha256(data).hexdigest(): data for data in pictures.values()}
    return Draft(f"Title {text}", text, f"Wrote {text}", named)


def name_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def test_a_new_plan_stands_at_revision_1_with_nothing_to_undo(store: Store) -> None:
    saved = store.add(draft("a"))
    assert (saved.revision, saved.body) == (1, "a")
    assert not saved.can_undo
    assert not saved.can_redo


def test_undo_and_redo_go_back_a_hundred_changes_and_survive_a_restart(tmp_path: Path) -> None:
    store = Store(tmp_path / "plans.sqlite3")
    plan = store.add(draft("0")).id
    for number in range(1, 100):
        store.save(plan, draft(str(number)), expected=number)
    for number in reversed(range(99)):
        assert store.undo(plan).body == str(number)
    store.close()
    again = Store(tmp_path / "plans.sqlite3")
    assert again.get(plan).body == "0"
    for number in range(1, 100):
        assert again.redo(plan).body == str(number)
    with pytest.raises(StuckError, match="nothing to redo"):
        again.redo(plan)
    again.close()


def test_a_change_after_undo_drops_what_was_undone_and_takes_a_number_never_used(
    store: Store,
) -> None:
    plan = store.add(draft("a")).id
    store.save(plan, draft("b"), expected=1)
    store.undo(plan)
    saved = store.save(plan, draft("c"), expected=1)
    assert (saved.revision, saved.can_redo) == (3, False)
    assert [line.what for line in store.revisions(plan)] == ["Wrote a", "Wrote c"]
    assert store.undo(plan).body == "a"


def test_one_can_go_to_any_state_undone_ones_too_and_nothing_is_dropped(store: Store) -> None:
    plan = store.add(draft("a")).id
    for number, text in enumerate("bcd", 1):
        store.save(plan, draft(text), expected=number)
    assert store.go(plan, 2).body == "b"
    assert [line.current for line in store.revisions(plan)] == [False, True, False, False]
    assert store.go(plan, 4, expected=2).body == "d"
    assert not store.get(plan).can_redo
    with pytest.raises(MissingError, match="no revision 9"):
        store.go(plan, 9)
    with pytest.raises(ConflictError, match="stands at revision 4, not 2"):
        store.go(plan, 1, expected=2)


@pytest.mark.parametrize("act", ["save", "undo", "redo", "get"])
def test_a_caller_who_is_behind_gets_a_conflict(store: Store, act: str) -> None:
    plan = store.add(draft("a")).id
    store.save(plan, draft("b"), expected=1)
    calls = {
        "save": lambda: store.save(plan, draft("x"), expected=1),
        "undo": lambda: store.undo(plan, 1),
        "redo": lambda: store.redo(plan, 1),
        "get": lambda: store.get(plan, 1),
    }
    with pytest.raises(ConflictError, match="stands at revision 2, not 1"):
        calls[act]()
    assert store.get(plan).body == "b"


def test_the_list_shows_the_title_of_the_revision_each_plan_stands_at(store: Store) -> None:
    plan = store.add(draft("a")).id
    store.save(plan, draft("b"), expected=1)
    assert [line.title for line in store.plans()] == ["Title b"]
    store.undo(plan)
    assert [(line.title, line.revision) for line in store.plans()] == [("Title a", 1)]


def test_pictures_are_kept_once_and_go_with_the_last_plan_that_uses_them(store: Store) -> None:
    shared, own = b"shared picture", b"own picture"
    first = store.add(draft("a", one=shared, two=own)).id
    second = store.add(draft("b", one=shared)).id
    store.delete(first)
    assert store.picture(name_of(shared)) == shared
    with pytest.raises(MissingError):
        store.picture(name_of(own))
    store.delete(second)
    with pytest.raises(MissingError):
        store.picture(name_of(shared))


def test_copies_of_copies_are_one_family_whoever_goes(store: Store) -> None:
    first = store.add(draft("a", one=b"picture")).id
    second = store.add(draft("b"), like=first).id
    third = store.add(draft("c"), like=second).id
    other = store.add(draft("d")).id
    assert [entry.id for entry in store.family(second)] == [first, second, third]
    assert {entry.family for entry in store.family(third)} == {first}
    assert [entry.id for entry in store.family(other)] == [other]
    store.delete(first)
    assert [entry.id for entry in store.family(third)] == [second, third]
    assert store.picture(name_of(b"picture")) == b"picture"
    with pytest.raises(MissingError, match="no plan"):
        store.add(draft("e"), like=first)
    assert len(store.plans()) == 3


def test_a_link_stays_the_same_until_it_is_withdrawn(store: Store) -> None:
    plan = store.add(draft("a")).id
    token = store.link(plan)
    # 128 bits are 22 letters of base 64 (RFC 4648).
    assert len(token) >= 22
    assert (store.link(plan), store.linked(token)) == (token, plan)
    store.unlink(plan)
    with pytest.raises(MissingError, match="withdrawn"):
        store.linked(token)
    again = store.link(plan)
    assert again != token
    store.delete(plan)
    for word in (token, again, plan, ""):
        with pytest.raises(MissingError):
            store.linked(word)


def test_a_deleted_plan_is_gone_in_every_way(store: Store) -> None:
    plan = store.add(draft("a")).id
    store.delete(plan)
    calls = (store.get, store.undo, store.revisions, store.family, store.link, store.unlink)
    for call in (*calls, store.delete):
        with pytest.raises(MissingError, match="no plan"):
            call(plan)
    with pytest.raises(MissingError, match="no plan"):
        store.save(plan, draft("b"), expected=1)


def test_of_many_writers_at_once_each_acknowledged_change_is_kept(tmp_path: Path) -> None:
    stores = [Store(tmp_path / "plans.sqlite3") for _ in range(4)]
    plan = stores[0].add(draft("start")).id
    acknowledged: list[int] = []

    def write(store: Store) -> None:
        done = 0
        while done < 5:
            try:
                now = store.get(plan).revision
                acknowledged.append(store.save(plan, draft("x"), expected=now).revision)
                done += 1
            except ConflictError:
                continue

    threads = [threading.Thread(target=write, args=(store,)) for store in stores]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(acknowledged) == list(range(2, 22))
    assert [line.revision for line in stores[0].revisions(plan)] == list(range(1, 22))
    for store in stores:
        store.close()


def test_sqlite_is_told_to_keep_what_it_acknowledged(store: Store) -> None:
    # https://www.sqlite.org/pragma.html: synchronous FULL is 2.
    with store._database.reading() as link:
        pragmas = {
            name: link.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "busy_timeout", "foreign_keys")
        }
    assert pragmas == {
        "journal_mode": "wal",
        "synchronous": 2,
        "busy_timeout": 5000,
        "foreign_keys": 1,
    }


def test_a_file_that_is_no_database_is_named(tmp_path: Path) -> None:
    file = tmp_path / "holiday.jpg"
    file.write_bytes(b"not a database at all" * 100)
    with pytest.raises(StoreError, match=r"holiday\.jpg: this file is not a database of plans"):
        Store(file)
    assert file.read_bytes() == b"not a database at all" * 100


def test_a_place_where_no_folder_can_be_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(StoreError, match="the folder can't be made"):
        Store(tmp_path / "file" / "below" / "plans.sqlite3")


def test_a_folder_in_place_of_a_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="can't be opened"):
        Store(tmp_path)


def test_a_database_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "plans.sqlite3"
    Store(file).close()
    with sqlite3.connect(file) as link:
        link.execute("UPDATE about SET format = 99")
    link.close()
    with pytest.raises(StoreError, match="written by a newer version"):
        Store(file)


@pytest.mark.parametrize("url", ["nonsense://x", "://", "sqlite://user@host/x?y"])
def test_an_address_that_is_no_database_is_told_so(url: str) -> None:
    with pytest.raises(StoreError):
        Store(url)


def test_a_disk_that_is_full_is_told_in_words(store: Store) -> None:
    plan = store.add(draft("a")).id
    # https://www.sqlite.org/pragma.html#pragma_max_page_count answers SQLITE_FULL as a full disk.
    with store._database.reading() as link:
        link.exec_driver_sql("PRAGMA max_page_count = 1")
    noise = hashlib.shake_256(b"seed").hexdigest(2_000_000)
    with pytest.raises(StoreError, match="the disk is full; delete plans"):
        store.save(plan, draft(noise), expected=1)
    assert store.get(plan).revision == 1


class UndoLikeAList(RuleBasedStateMachine):
    """A list and a position in it do the same as the store."""

    def __init__(self) -> None:
        super().__init__()
        self.store = Store("sqlite://")
        self.plan = self.store.add(draft("start")).id
        self.states = ["start"]
        self.position = 0

    @rule(text=st.text(st.characters(codec="utf-8"), max_size=20))
    def save(self, text: str) -> None:
        """Change both."""
        expected = self.store.get(self.plan).revision
        self.store.save(self.plan, draft(text), expected=expected)
        self.states[self.position + 1 :] = [text]
        self.position += 1

    @precondition(lambda self: self.position > 0)
    @rule()
    def undo(self) -> None:
        """Step both back."""
        self.store.undo(self.plan)
        self.position -= 1

    @precondition(lambda self: self.position < len(self.states) - 1)
    @rule()
    def redo(self) -> None:
        """Step both forward."""
        self.store.redo(self.plan)
        self.position += 1

    @invariant()
    def agree(self) -> None:
        """Compare them."""
        saved = self.store.get(self.plan)
        assert saved.body == self.states[self.position]
        assert saved.can_undo == (self.position > 0)
        assert saved.can_redo == (self.position < len(self.states) - 1)
        assert len(self.store.revisions(self.plan)) == len(self.states)

    def teardown(self) -> None:
        """Let go of the database."""
        self.store.close()


TestUndoLikeAList = UndoLikeAList.TestCase
TestUndoLikeAList.settings = settings(max_examples=15, stateful_step_count=20)

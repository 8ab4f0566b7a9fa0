"""What is deleted is gone from the disk; old changes are thinned; the file is its owner's alone."""

from __future__ import annotations

import random
import sqlite3
from typing import TYPE_CHECKING

import pytest

from api.photos.intake import picture_name
from api.storage.database import StoreError
from api.storage.kept import DamagedError, Draft
from api.storage.store import Store

if TYPE_CHECKING:
    from pathlib import Path


def draft(number: int, *pictures: bytes) -> Draft:
    held = {picture_name(data): data for data in pictures}
    return Draft(f"Title {number}", f'{{"number": {number}}}', "Changed", held)


def everything(folder: Path) -> bytes:
    """Return the bytes of all files of a folder."""
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()))


def holds_any(held: bytes, picture: bytes) -> bool:
    """Tell whether any 64 bytes in a row of a picture are there."""
    return any(picture[at : at + 64] in held for at in range(0, len(picture) - 63, 64))


@pytest.mark.parametrize("closed", [True, False])
def test_after_deleting_no_byte_of_a_picture_is_on_the_disk(tmp_path: Path, closed: bool) -> None:
    noise = random.Random(1)
    pictures = [noise.randbytes(60_000) for _ in range(8)]
    store = Store(tmp_path / "plans.sqlite3")
    kept = store.add(draft(1, pictures[0])).id
    gone = store.add(draft(2, *pictures)).id
    store.save(gone, draft(3), expected=1)
    assert holds_any(everything(tmp_path), pictures[5])
    store.delete(gone)
    if closed:
        store.close()
    held = everything(tmp_path)
    assert not any(holds_any(held, picture) for picture in pictures[1:])
    assert holds_any(held, pictures[0])
    # One picture of 60 kB and some tables; eight of them are 480 kB.
    assert (tmp_path / "plans.sqlite3").stat().st_size < 150_000
    if not closed:
        assert store.get(kept).revision == 1
        store.close()


def test_a_file_of_an_earlier_version_shrinks_as_well(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite3"
    store = Store(path)
    gone = store.add(draft(1, random.Random(1).randbytes(400_000))).id
    store.close()
    with sqlite3.connect(path) as link:  # As versions before made it.
        link.executescript("PRAGMA journal_mode=DELETE; PRAGMA auto_vacuum=0; VACUUM;")
    link.close()
    store = Store(path)
    store.delete(gone)
    store.close()
    assert path.stat().st_size < 200_000


def test_of_a_thousand_changes_the_last_hundred_and_every_tenth_are_kept(store: Store) -> None:
    plan = store.add(draft(1)).id
    for number in range(1, 1_211):
        store.save(plan, draft(number + 1), expected=number)
    kept = [line.revision for line in store.revisions(plan)]
    newest = 1_211
    assert kept == [
        n
        for n in range(1, newest + 1)
        if n == 1 or n > newest - 100 or (n % 10 == 0 and n > newest - 1_000) or n % 100 == 0
    ]
    assert store.go(plan, 600).body == '{"number": 600}'
    assert store.undo(plan).revision == 590


def test_the_data_file_is_its_owners_alone(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite3"
    path.touch(0o644)
    store = Store(path)
    store.add(draft(1))
    modes = {file.name: file.stat().st_mode & 0o077 for file in tmp_path.iterdir()}
    assert len(modes) == 4
    assert not any(modes.values())
    store.close()


def test_another_programs_file_is_not_taken_over(tmp_path: Path) -> None:
    path = tmp_path / "accounts.sqlite3"
    with sqlite3.connect(path) as link:
        link.execute("CREATE TABLE accounts (name TEXT)")
    link.close()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="another program; nothing was changed"):
        Store(path)
    with sqlite3.connect(path) as link:
        assert link.execute("SELECT name FROM sqlite_master").fetchall() == [("accounts",)]
    link.close()
    # The way in which it is written may have changed, what it holds has not.
    assert before[100:200] == path.read_bytes()[100:200]


def test_a_picture_that_is_not_what_was_kept_is_told(tmp_path: Path) -> None:
    path = tmp_path / "plans.sqlite3"
    store = Store(path)
    picture = b"picture"
    store.add(draft(1, picture))
    with sqlite3.connect(path) as link:
        link.execute("UPDATE pictures SET data = ?", (b"qicture",))
    link.close()
    with pytest.raises(DamagedError, match=r"picture .* is damaged"):
        store.picture(picture_name(picture))
    store.close()

"""On a full disk plans can be deleted, in room kept for that, and what they held is used again."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import pytest

from api.storage.database import Database, FullError
from api.storage.reserve import ROOM, Reserve
from api.storage.store import Store

ROOT = Path(__file__).parents[3]

ON_A_SMALL_DISK = """
    import os, sys
    from pathlib import Path
    from api.storage.database import StoreError
    from api.storage.kept import Draft
    from api.storage.store import Store
    disk = Path(sys.argv[1])

    noises = []

    def draft():
        noise = os.urandom(150_000)
        noises.append(noise[75_000:75_064])
        return Draft("title", "{}", "what", {os.urandom(32).hex(): noise})

    def filled(store):
        made, failed = [], 0
        while failed < 2:  # In a row: the sentence says to try again.
            try:
                made.append(store.add(draft()).id)
                failed = 0
            except StoreError as full:
                assert "plans.db: the disk is full; delete plans" in str(full), full
                failed += 1
        return made

    store = Store(disk / "plans.db")
    made = filled(store)
    try:
        with open(disk / "other", "wb", buffering=0) as other:
            while True:
                other.write(bytes(4096))
    except OSError:
        pass
    store.close()
    store = Store(disk / "plans.db")
    before = (disk / "plans.db").stat().st_size
    for plan in made:
        store.delete(plan)
    assert store.plans() == ()
    kept = b"".join(path.read_bytes() for path in disk.glob("plans.db*"))
    assert not any(noise in kept for noise in noises), "a deleted picture is on the disk"
    assert (disk / "plans.db").stat().st_size < before / 20
    again = len(filled(store))
    print(len(made), again)
"""


def test_a_full_disk_lets_plans_be_deleted_and_their_room_used(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    # A namespace of its own, so that a disk of 24 MB can be mounted without rights (unshare(1)).
    shell = f'mount -t tmpfs -o size=24m tmpfs "{disk}" && exec "$0" -c "$1" "{disk}"'
    alone = ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c"]
    try:
        can = subprocess.run(
            [*alone, f'mount -t tmpfs tmpfs "{disk}"'], capture_output=True, check=False
        )
    except FileNotFoundError:
        pytest.skip("this machine has no unshare(1)")
    if can.returncode:
        pytest.skip("this machine lets nobody mount a disk of their own")
    ran = subprocess.run(
        [*alone, shell, sys.executable, dedent(ON_A_SMALL_DISK)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    made, again = map(int, ran.stdout.split())
    assert made > 50
    assert again > made / 2


def test_room_is_kept_beside_a_data_file_and_taken_again(tmp_path: Path) -> None:
    store = Store(tmp_path / "plans.db")
    store.close()
    kept = tmp_path / "plans.db-reserve"
    assert kept.stat().st_size == ROOM
    assert kept.stat().st_blocks * 512 >= ROOM
    reserve = Reserve(tmp_path / "plans.db")
    assert reserve.give_up()
    assert not kept.exists()
    assert not reserve.give_up()
    reserve.keep()
    assert kept.stat().st_size == ROOM


def test_what_finds_no_room_is_tried_again_once_and_then_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database = Database(tmp_path / "plans.db")
    gave_up: list[bool] = []

    def once(_: Reserve) -> bool:
        gave_up.append(True)
        return len(gave_up) == 1

    monkeypatch.setattr(Reserve, "give_up", once)
    tries: list[int] = []

    def change(_link: object) -> None:
        tries.append(1)
        raise FullError("plans.db: the disk is full")

    with pytest.raises(FullError, match=r"plans\.db: the disk is full"):
        database.deleting(change)
    assert len(tries) == 2
    with pytest.raises(FullError):
        database.deleting(change)
    assert len(tries) == 3


def test_a_database_in_memory_keeps_no_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Store("sqlite://").close()
    assert list(tmp_path.iterdir()) == []

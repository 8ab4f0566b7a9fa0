"""Results stand whole or not at all: a stop in the middle, a full disk, a file in the way."""

from __future__ import annotations

import errno
import os
import signal
from typing import TYPE_CHECKING

import pytest

from api import files
from api.files import whole_folder, write_whole

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def held(folder: Path) -> dict[str, str]:
    """Return the files of a folder and what is in them."""
    return {
        str(path.relative_to(folder)): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(autouse=True)
def stoppable() -> Iterator[None]:
    """Let Ctrl+C stop the tests' work also where whoever started them ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """Return a folder with an old result, and something of somebody's own."""
    folder = tmp_path / "out"
    (folder / "pictures").mkdir(parents=True)
    for name in ("a.txt", "pictures/b.txt", "mine.txt"):
        (folder / name).write_text("old", encoding="utf-8")
    return folder


def write_new(folder: Path) -> None:
    (folder / "pictures").mkdir()
    for name in ("a.txt", "pictures/b.txt"):
        (folder / name).write_text("new", encoding="utf-8")


OLD = {"a.txt": "old", "pictures/b.txt": "old", "mine.txt": "old"}
NEW = {"a.txt": "new", "pictures/b.txt": "new", "mine.txt": "old"}


def test_a_whole_result_takes_the_place_of_the_old_one(out: Path) -> None:
    with whole_folder(out) as folder:
        write_new(folder)
    assert held(out) == NEW
    assert {path.name for path in out.iterdir()} == {"a.txt", "pictures", "mine.txt"}


def test_a_stop_while_it_is_made_leaves_the_old_one(out: Path) -> None:
    def stopped() -> None:
        with whole_folder(out) as folder:
            write_new(folder)
            signal.raise_signal(signal.SIGINT)

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert held(out) == OLD


def test_a_stop_while_it_is_put_in_place_waits(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.replace

    def stopped(source: Path, goal: Path) -> None:
        signal.raise_signal(signal.SIGINT)
        real(source, goal)

    monkeypatch.setattr(files.os, "replace", stopped)
    with pytest.raises(KeyboardInterrupt), whole_folder(out) as folder:
        write_new(folder)
    assert held(out) == NEW


def full(*_: object) -> None:
    """Fail as a full disk does: without naming a file."""
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_disk_names_the_file(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files.os, "fsync", full)
    with pytest.raises(OSError, match="No space left") as caught:
        write_whole(out / "a.txt", b"new")
    assert caught.value.filename == str(out / "a.txt")
    with pytest.raises(OSError, match="No space left") as caught, whole_folder(out):
        full()
    assert caught.value.filename == str(out)
    assert held(out) == OLD

"""Room kept for a full disk: a file that holds nothing, given up so that something can be deleted.

SQLite writes what it deletes into its log before anything is freed (https://sqlite.org/wal.html),
so on a full disk nothing could be deleted.
"""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

ROOM = 6_000_000
"""Bytes: the log of 1,000 pages of 4,096 bytes that SQLite lets grow by itself, and half as much
for a deletion."""


class Reserve:
    """Room beside a data file.

    Parameters
    ----------
    data : Path
        The data file.
    """

    def __init__(self, data: Path) -> None:
        self._file = data.with_name(f"{data.name}-reserve")

    def keep(self) -> None:
        """Take the room if it is not taken; where there is none, nothing is kept."""
        with suppress(OSError):
            if self._file.exists() and self._file.stat().st_size == ROOM:
                return
            try:
                _fill(self._file)
            except OSError:
                self._file.unlink()

    def give_up(self) -> bool:
        """Free the room; tell whether there was any."""
        try:
            self._file.unlink()
        except OSError:
            return False
        return True


def _fill(file: Path) -> None:
    with open(file, "wb", opener=_private) as opened:
        if hasattr(os, "posix_fallocate"):
            os.posix_fallocate(opened.fileno(), 0, ROOM)
        else:
            opened.write(bytes(ROOM))


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)

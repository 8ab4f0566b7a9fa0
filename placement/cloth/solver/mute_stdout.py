"""Keep a compiled library from printing: HiGHS leaves stray lines on standard output."""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


class _Output:
    """File descriptor 1, and how many threads want it silent."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._inside = 0
        self._kept = -1

    def mute(self) -> None:
        with self._lock:
            if not self._inside:
                sys.stdout.flush()
                self._kept = os.dup(1)
                nowhere = os.open(os.devnull, os.O_WRONLY)
                os.dup2(nowhere, 1)
                os.close(nowhere)
            self._inside += 1

    def restore(self) -> None:
        with self._lock:
            self._inside -= 1
            if not self._inside:
                os.dup2(self._kept, 1)
                os.close(self._kept)


_output = _Output()


@contextmanager
def quiet() -> Iterator[None]:
    """Send file descriptor 1 nowhere; the last of several threads to leave restores it."""
    _output.mute()
    try:
        yield
    finally:
        _output.restore()

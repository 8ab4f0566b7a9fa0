"""Keep a compiled library from printing: HiGHS leaves stray lines on standard output."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

_lock = Lock()
_inside = 0
_kept = -1


@contextmanager
def quiet() -> Iterator[None]:
    """Send file descriptor 1 nowhere; the last of several threads to leave restores it."""
    _enter()
    try:
        yield
    finally:
        _leave()


def _enter() -> None:
    global _inside, _kept
    with _lock:
        if not _inside:
            sys.stdout.flush()
            _kept = os.dup(1)
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 1)
            os.close(nowhere)
        _inside += 1


def _leave() -> None:
    global _inside
    with _lock:
        _inside -= 1
        if not _inside:
            os.dup2(_kept, 1)
            os.close(_kept)

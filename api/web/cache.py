"""Things that are quick to hand and dear to make, up to so many bytes in memory."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable


class Shelf:
    """Bytes under keys. What was not asked for longest makes room for what is new.

    Safe to use from many threads.

    Parameters
    ----------
    most : int
        Bytes it holds at most.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._size = 0
        self._lock = threading.Lock()
        self._held: OrderedDict[Hashable, bytes] = OrderedDict()

    def get(self, key: Hashable, make: Callable[[], bytes]) -> bytes:
        """Return what lies under a key; make it, and keep it, if nothing does."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
                return self._held[key]
        # Made without the lock: two who ask at once may both make it, and nobody waits.
        made = make()
        self._put(key, made)
        return made

    def clear(self) -> None:
        """Put everything away."""
        with self._lock:
            self._held.clear()
            self._size = 0

    def _put(self, key: Hashable, made: bytes) -> None:
        with self._lock:
            if key in self._held or len(made) > self._most:
                return
            self._held[key] = made
            self._size += len(made)
            while self._size > self._most:
                _, gone = self._held.popitem(last=False)
                self._size -= len(gone)

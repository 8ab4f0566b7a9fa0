"""Things that are quick to hand and dear to make, up to so many bytes in memory."""

from __future__ import annotations

from threading import Lock
from typing import TYPE_CHECKING

from cachetools import LRUCache

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable


class Cache:
    """Bytes under keys. What was not asked for longest makes room for what is new.

    Safe to use from many threads.

    Parameters
    ----------
    most : int
        Bytes it holds at most.
    """

    def __init__(self, most: int) -> None:
        self._lock = Lock()
        self._held: LRUCache[Hashable, bytes] = LRUCache(most, len)

    def get(self, key: Hashable, make: Callable[[], bytes]) -> bytes:
        """Return what lies under a key; make it, and keep it, if nothing does."""
        with self._lock:
            held = self._held.get(key)
        if held is not None:
            return held
        # Made without the lock: two who ask at once may both make it, and nobody waits.
        made = make()
        with self._lock:
            if len(made) <= self._held.maxsize:
                self._held[key] = made
        return made

    def look(self, key: Hashable) -> bytes | None:
        """Return what lies under a key; None if nothing does."""
        with self._lock:
            return self._held.get(key)

    def clear(self) -> None:
        """Put everything away."""
        with self._lock:
            self._held.clear()

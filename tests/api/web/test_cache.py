"""Things at hand: made once, never more bytes than allowed."""

from __future__ import annotations

import threading

from hypothesis import given
from hypothesis import strategies as st

from api.web.cache import Cache


def test_what_is_asked_for_again_is_not_made_again() -> None:
    cache, made = Cache(100), []

    def make() -> bytes:
        made.append(1)
        return b"abc"

    assert [cache.get("a", make) for _ in range(3)] == [b"abc"] * 3
    assert len(made) == 1


def test_what_was_not_asked_for_longest_goes_first() -> None:
    cache = Cache(6)
    for key in ("a", "b"):
        cache.get(key, lambda: b"xyz")
    cache.get("a", lambda: b"new")
    cache.get("c", lambda: b"xyz")
    assert cache.get("a", lambda: b"new") == b"xyz"
    assert cache.get("b", lambda: b"new") == b"new"


def test_what_is_too_large_is_given_and_not_kept() -> None:
    cache = Cache(2)
    assert cache.get("a", lambda: b"large") == b"large"
    assert cache.get("a", lambda: b"other") == b"other"


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 40)), max_size=60))
def test_it_never_holds_more_than_allowed(asked: list[tuple[int, int]]) -> None:
    cache = Cache(50)
    for key, size in asked:
        cache.get(key, lambda size=size: b"x" * size)
        assert sum(map(len, cache._held.values())) == cache._held.currsize <= 50


def test_many_threads_get_what_they_asked_for() -> None:
    cache, wrong = Cache(64), []

    def ask() -> None:
        for number in range(300):
            text = str(number % 40).encode()
            if cache.get(text, lambda text=text: text) != text:
                wrong.append(text)

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []

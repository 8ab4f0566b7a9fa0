"""Threads in words."""

from __future__ import annotations

from api.wording.threads import judged
from palette.colour import Lab
from palette.thread import judge_threads, plain_threads
from tests.api.wording.conftest import solid


def test_a_thread_is_told_by_how_many_fabrics_it_shows_on() -> None:
    cloths = [solid("Paper", 97, 0, 2), solid("Ink", 12, 0, -5)]
    found = {entry.thread.id: entry for entry in judge_threads(plain_threads(), cloths)}
    assert judged(found["plain:white"]) == "Shows on 1 of 2 fabrics, soft on 0, vanishes on 1."
    (alone,) = judge_threads([found["plain:white"].thread], cloths[:1])
    assert judged(alone) == "Shows on 0 of 1 fabric, soft on 0, vanishes on 1."


def test_without_fabrics_there_is_nothing_to_judge_on() -> None:
    (entry, *_) = judge_threads(plain_threads(), [])
    assert judged(entry) == "There is no fabric yet to judge it on."
    assert entry.thread.colour != Lab(0, 0, 0)

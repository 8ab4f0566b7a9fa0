"""A data file filled, damaged, and looked at as the program looks at it."""

from __future__ import annotations

import random
import re
from contextlib import closing, contextmanager, suppress
from dataclasses import astuple
from typing import TYPE_CHECKING

from api.photos.intake import picture_name
from api.storage.backup import daily_copy, mend
from api.storage.database import StoreError
from api.storage.kept import Draft
from api.storage.store import Store

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from api.storage.kept import Entry

_CLEAR = re.compile("mend|damaged|another program|no plan")
PAGE = 4096
"""Bytes of a page of SQLite, unless it is told otherwise."""


def filled(path: Path, plans: int = 6, size: int = 8_000) -> dict[str, object]:
    """Fill a data file with plans, each with its history; return what it holds."""
    noise, store = random.Random(plans), Store(path)
    for number in range(plans):
        pictures = [noise.randbytes(size) for _ in range(2)]
        body = noise.randbytes(size // 4).hex()
        held = {picture_name(data): data for data in pictures}
        plan = store.add(Draft(f"Plan {number}", body, "Began", held)).id
        store.save(plan, Draft(f"Plan {number} again", body[::-1], "Changed"), expected=1)
        if number % 3 == 1:
            store.add(Draft(f"Copy of {number}", body, "Began"), like=plan)
            store.link(plan)
            store.undo(plan)
    found = held_in(store)
    store.close()
    return found


def held_in(store: Store) -> dict[str, object]:
    """Return everything that a store holds: plans, history, links, families, pictures."""
    link = store._database
    found: dict[str, object] = {}
    for entry in store.plans():
        plan = entry.id
        found[plan] = seen(store, entry)
    with link.reading() as opened:
        rows = opened.exec_driver_sql("SELECT plan, picture FROM uses ORDER BY 1, 2").all()
    found["pictures"] = [(plan, name, store.picture(name)) for plan, name in rows]
    return found


def seen(store: Store, entry: Entry) -> object:
    """Return what is seen of a plan that is listed."""
    lines = [astuple(line) for line in store.revisions(entry.id)]
    return astuple(entry), store.get(entry.id), lines, store.token(entry.id)


def opened(path: Path) -> dict[str, object]:
    """Return everything in a data file."""
    store = Store(path)
    found = held_in(store)
    store.close()
    return found


def after(data: Path, damaged: bytes, copy: bytes, held: dict[str, object]) -> tuple[str, str]:
    """Put damaged bytes and a sound daily copy in place; return how they look, and once mended."""
    for path in data.parent.glob(f"{data.name}*"):
        path.unlink()
    data.write_bytes(damaged)
    daily_copy(data).write_bytes(copy)
    looks = _looks(data, held)
    with suppress(StoreError):
        mend(data)
        return looks, "mended" if opened(data) == held else "not mended"
    return looks, "can't be mended"


def _looks(data: Path, held: dict[str, object]) -> str:
    """Return what is seen of a damaged file before it is mended."""
    told: list[str] = []
    shown: dict[str, object] = {}
    with _noted(told), closing(Store(data)) as store:
        for entry in store.plans():
            shown[entry.id] = None
            with _noted(told):
                shown[entry.id] = seen(store, entry)
    wanted = held.keys() - {"pictures"}
    whole = sum(shown.get(plan) == held[plan] for plan in wanted)
    unclear = [words for words in told if not _CLEAR.search(words)]
    if unclear:
        return f"not told what to do: {unclear[0]}"
    if told and shown.keys() >= wanted:
        return f"told, all listed, {len(wanted) - whole} not whole"
    if told:
        return f"told, {len(wanted - shown.keys())} not listed"
    return "as it was" if whole == len(wanted) else "changed and not told"


@contextmanager
def _noted(told: list[str]) -> Iterator[None]:
    """Note what is told of a fault."""
    try:
        yield
    except StoreError as fault:
        told.append(str(fault))


def pages_of(data: Path, mark: str) -> dict[int, str]:
    """Return the pages that are tried: the head of the file, and one of changes with that title."""
    at = data.read_bytes().index(mark.encode())
    return {0: "the head", at // PAGE: "changes"}

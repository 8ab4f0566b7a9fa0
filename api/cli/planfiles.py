"""The commands that give a kept plan away as a file, and take one in: keep and open."""

from __future__ import annotations

import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.options import add_data, data_of
from api.pattern.customs import MOST_TOLD
from api.wording.english import number

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from api.storage.store import Store


def add_keep(keep: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell keep``."""
    keep.add_argument("plan", metavar="PLAN", help="title or id of one of your plans")
    keep.add_argument("file", type=Path, metavar="FILE", help="where to write it, such as plan.zip")
    keep.add_argument("--history", action="store_true",
        help="all its changes go along, to be undone wherever it is opened")  # fmt: skip
    add_data(keep)


def add_open(opening: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell open``."""
    opening.add_argument("file", type=Path, metavar="FILE",
        help="a plan.zip that 'keep' or the page wrote, or a plan.json")  # fmt: skip
    add_data(opening)


def run_keep(wish: argparse.Namespace) -> int:
    """Write a kept plan with its pictures as one file; 2 if that can't be done."""
    from api.files import write_whole
    from api.storage.planfile import packed
    from api.storage.store import Store

    def work() -> str:
        data = data_of(wish)
        if not data.is_file():
            raise ValueError(f"{data}: there are no plans here yet")
        with closing(Store(data)) as store:
            plan = _named(store, wish.plan)
            made = packed(store, plan, history=wish.history)
            changes = len(store.revisions(plan))
        write_whole(wish.file, made)
        along = f" and its {number(changes, 'change')}" if wish.history else ""
        return f"The plan with its pictures{along} is in {wish.file}"

    return _said(work)


def run_open(wish: argparse.Namespace) -> int:
    """Take the plan in a file into those that are kept; 2 if that can't be done."""
    from api.files import read_bounded
    from api.photos.worker_pool import Reader
    from api.storage.archive import MOST_FILE
    from api.storage.planfile import take_in
    from api.storage.store import Store
    from api.wording.planfiles import lacking, shortened

    def work() -> str:
        data = read_bounded(wish.file, MOST_FILE, "a plan with its pictures")
        with closing(Reader(1)) as reader, closing(Store(data_of(wish))) as store:
            done = take_in(store, reader, data)
            changes = len(store.revisions(done.saved.id))
        told = f"{done.plan.brief.title!r} is among your plans, with {number(changes, 'change')}."
        return " ".join(filter(None, (told, lacking(done.lacking), shortened(done.left_out))))

    return _said(work)


def _named(store: Store, wanted: str) -> str:
    """Return the id of the plan of an id or title."""
    entries = store.plans()
    found = [entry.id for entry in entries if wanted in (entry.id, entry.title)]
    if len(found) == 1:
        return found[0]
    known = ", ".join(f"{entry.title!r} ({entry.id})" for entry in entries[:MOST_TOLD])
    if not found:
        raise ValueError(f"there is no plan {wanted!r} among yours; there is {known or 'none'}")
    raise ValueError(f"{len(found)} plans are called {wanted!r}; name one by its id: {known}")


def _said(work: Callable[[], str]) -> int:
    from api.storage.database import StoreError

    try:
        print(work())
    except (StoreError, ValueError) as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    return 0

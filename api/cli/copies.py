"""The commands on copies of all plans: backup, restore and mend."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.options import add_data, data_of
from api.wording.english import listed, number

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable


def add_backup(backup: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell backup``."""
    backup.add_argument("copy", type=Path, metavar="FILE", help="where to write the copy")
    add_data(backup)


def add_restore(restore: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell restore``."""
    restore.add_argument("copy", type=Path, metavar="FILE", help="a copy that 'backup' wrote")
    add_data(restore)


def add_mend(mend: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell mend``."""
    add_data(mend)


def run_backup(wish: argparse.Namespace) -> int:
    """Write a copy of all plans; 2 if that can't be done."""
    from api.storage.backup import back_up

    def work() -> str:
        back_up(data_of(wish), wish.copy)
        return f"All plans are in {wish.copy}; 'spreadwell restore {wish.copy}' takes them back"

    return _said(work)


def run_restore(wish: argparse.Namespace) -> int:
    """Put the plans of a copy in place of those there are; 2 if that can't be done."""
    from api.storage.backup import restore

    def work() -> str:
        before = restore(wish.copy, data_of(wish))
        kept = f"; what was there before is in {before}" if before else ""
        return f"The plans are those of {wish.copy}{kept}"

    return _said(work)


def run_mend(wish: argparse.Namespace) -> int:
    """Put together what is sound in a damaged data file and its daily copy; 2 if it can't be."""
    from api.storage.backup import mend

    def work() -> str:
        done = mend(data_of(wish))
        taken = f"; taken from the daily copy: {listed(done.restored)}" if done.restored else ""
        lost = f"; lost: {listed(done.lost)}" if done.lost else ""
        were = "was" if len(done.whole) == 1 else "were"
        return f"{number(len(done.whole), 'plan')} {were} sound{taken}{lost}"

    return _said(work)


def _said(work: Callable[[], str]) -> int:
    from api.storage.database import StoreError

    try:
        print(work())
    except StoreError as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    return 0

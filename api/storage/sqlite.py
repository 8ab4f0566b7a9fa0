"""What is particular to SQLite: how a file is opened, kept private, and shrinks again.

What is deleted is overwritten with zeros and its pages are given back, so that nothing of it
stays in the file or in the log (https://sqlite.org/pragma.html#pragma_secure_delete,
https://sqlite.org/pragma.html#pragma_auto_vacuum).
"""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    import sqlite3
    from pathlib import Path

    from sqlalchemy.engine import Connection
    from sqlalchemy.engine.interfaces import DBAPIConnection

APPLICATION = 0x53505244
"""Says in a file's header whose it is ('SPRD', https://sqlite.org/fileformat2.html, 1.3.15)."""

_INCREMENTAL = 2
_PRAGMAS = (
    "busy_timeout=5000",
    f"auto_vacuum={_INCREMENTAL}",  # Before the first table is made.
    "journal_mode=WAL",
    "wal_autocheckpoint=250",  # Pages: 1 MB of log, so that an almost full disk can be worked on.
    "synchronous=FULL",
    "foreign_keys=ON",
    "secure_delete=ON",
)


def set_pragmas(link: DBAPIConnection, _record: object) -> None:
    """Make SQLite keep what it acknowledged, forget what is deleted, and wait for a writer."""
    cursor = link.cursor()
    for pragma in _PRAGMAS:
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def make_private(file: Path) -> None:
    """Make a file, and what lies beside it, readable and writable by its owner alone."""
    # SQLite gives its log the rights of the file, so that is made first.
    with suppress(OSError):
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
    for path in (file, *(file.with_name(file.name + end) for end in ("-wal", "-shm"))):
        with suppress(OSError):
            if path.is_file() and path.stat().st_mode & 0o077:
                path.chmod(0o600)


def is_foreign(link: Connection, tables: set[str], own: set[str]) -> bool:
    """Tell whether a file with tables in it is another program's."""
    mark = link.exec_driver_sql("PRAGMA application_id").scalar()
    return mark not in (0, APPLICATION) or bool(tables and not own & tables)


def mark_own(link: Connection) -> None:
    """Write into a file's header whose it is."""
    link.exec_driver_sql(f"PRAGMA application_id={APPLICATION}")


def let_shrink(link: Connection) -> None:
    """Make a file of an earlier version one that can shrink; that writes it anew, once."""
    if link.exec_driver_sql("PRAGMA auto_vacuum").scalar() != _INCREMENTAL:
        link.exec_driver_sql(f"PRAGMA auto_vacuum={_INCREMENTAL}")
        link.exec_driver_sql("VACUUM")


def give_back(link: Connection) -> None:
    """Give the pages that nothing uses back to the disk, and empty the log."""
    # A page is given back at each step, and a script is gone through to its end.
    cast("sqlite3.Connection", link.connection.dbapi_connection).executescript(
        "PRAGMA incremental_vacuum"
    )
    shorten_log(link)


def shorten_log(link: Connection) -> None:
    """Bring what stands in the log into the file, where deleted pages are used again."""
    link.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")

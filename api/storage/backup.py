"""Copies of all plans: made, taken back, and used to mend a data file that is damaged.

A copy is a data file itself. It is made while the program runs, as it stood at one moment, and
stands whole under its name or not at all. Taking one back goes through SQLite, so that a program
that has the file open sees all of it or nothing.

Words used here
---------------
daily copy : the copy beside a data file, made anew when it is a day old. What is deleted
    from the data file is deleted from it too.
"""

from __future__ import annotations

import os
import sqlite3
import time
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from api.storage.database import Database, FullError, StoreError
from api.storage.seal import Row, unsealed
from api.storage.sqlite import APPLICATION, make_private

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

DAY = 24 * 3600.0
"""Seconds after which the daily copy is made anew."""

_TABLES = ("revisions", "variants", "links", "uses")
"""Tables with rows of one plan, by their column 'plan'."""


@dataclass(frozen=True, slots=True)
class Mended:
    """What became of the plans of a damaged data file."""

    whole: tuple[str, ...]
    """Titles of those that were sound."""
    restored: tuple[str, ...]
    """Titles of those that were taken from the copy."""
    lost: tuple[str, ...]
    """Ids of those that neither holds."""


def daily_copy(data: Path) -> Path:
    """Return where the daily copy of a data file is."""
    return data.with_name(f"{data.name}-daily")


def back_up(data: Path, target: Path) -> None:
    """Write all plans with their pictures, history and links into one file.

    Raises
    ------
    StoreError
        If the data file is damaged or there is no room; what was there as target stays.
    """
    if not data.is_file():
        raise StoreError(f"{data}: there are no plans here yet")
    if target.is_dir():
        raise StoreError(f"{target} is a folder; name a file in it, such as plans.copy")
    beside = target.with_name(f".{target.name}-{os.getpid()}")
    try:
        with _told(data), closing(_opened(data)) as link:
            _check_own(link, data)
            _check_sound(link, data)
            link.execute("VACUUM INTO ?", (str(beside),))
        make_private(beside)
        os.replace(beside, target)
    except OSError as fault:
        raise StoreError(f"{target}: can't be written ({fault.strerror or fault})") from fault
    finally:
        for path in (beside, beside.with_name(f"{beside.name}-journal")):
            path.unlink(missing_ok=True)


def keep_daily(data: Path, now: float | None = None) -> bool:
    """Make the daily copy anew if it is a day old; tell whether that was done.

    Raises
    ------
    StoreError
        If the data file is damaged, so that the copy is better than it.
    """
    copy = daily_copy(data)
    with suppress(OSError):
        if (time.time() if now is None else now) - copy.stat().st_mtime < DAY:
            return False
    back_up(data, copy)
    return True


def restore(source: Path, data: Path) -> Path | None:
    """Put the plans of a copy in place of those of a data file.

    Returns
    -------
    Path | None
        Where the file that was there before is kept; None if there was none.

    Raises
    ------
    StoreError
        If the copy is none, or damaged, or there is no room; the data file stays as it was.
    """
    if not source.is_file():
        raise StoreError(f"{source}: there is no such file")
    with _told(source), closing(_opened(source)) as link:
        _check_own(link, source)
        _check_sound(link, source)
    before = _set_aside(data)
    _poured(source, data)
    Database(data).close()  # Brings a copy of an earlier version up.
    return before


def mend(data: Path) -> Mended:
    """Put what is sound in a damaged data file, and the rest from its daily copy, into a new one.

    The damaged file stays beside it.

    Raises
    ------
    StoreError
        If there is no daily copy, or it is damaged as well.
    """
    copy = daily_copy(data)
    if not copy.is_file():
        raise StoreError(f"{copy}: there is no daily copy to mend the plans from")
    new = data.with_name(f".{data.name}-mended")
    for path in _family(new):
        path.unlink(missing_ok=True)
    Database(new).close()
    try:
        with _told(copy), closing(_opened(new)) as link, closing(_opened(copy)) as held:
            _check_sound(held, copy)
            with closing(_opened(data)) as damaged:
                done = _gathered(link, damaged, held)
        _set_aside(data)
        _poured(new, data)
    finally:
        for path in (*_family(new), new.with_name(f"{new.name}-reserve")):
            path.unlink(missing_ok=True)
    return done


def forget(data: Path, plan: str) -> None:
    """Delete a plan from the daily copy of a data file too, as from the file itself."""
    copy = daily_copy(data)
    if not copy.is_file():
        return
    with suppress(sqlite3.Error), closing(_opened(copy)) as link:
        link.execute("PRAGMA secure_delete=ON")
        for table in _TABLES:
            link.execute(f"DELETE FROM {table} WHERE plan = ?", (plan,))  # noqa: S608 (ours)
        link.execute("DELETE FROM plans WHERE id = ?", (plan,))
        link.execute("DELETE FROM pictures WHERE name NOT IN (SELECT picture FROM uses)")
        link.commit()
        link.executescript("PRAGMA incremental_vacuum")


def _gathered(
    new: sqlite3.Connection, damaged: sqlite3.Connection, copy: sqlite3.Connection
) -> Mended:
    """Fill a new file with the plans of a damaged one, and of its copy where that is better."""
    there = _plans(damaged)
    whole: list[str] = []
    restored: list[str] = []
    lost: list[str] = []
    for plan in there or _plans(copy):
        for source, told in ((damaged, whole), (copy, restored)):
            taken = _taken(source, plan)
            if taken:
                _put(new, taken)
                told.append(_title(taken))
                break
        else:
            lost.append(plan)
    new.commit()
    return Mended(tuple(whole), tuple(restored), tuple(lost))


Rows = dict[str, list[tuple[Any, ...]]]


def _plans(link: sqlite3.Connection) -> list[str]:
    """Return the ids of all plans, however little can be read of them; none if not even those."""
    found: dict[str, None] = {}
    for query in ("SELECT id FROM plans", "SELECT DISTINCT plan FROM revisions"):
        with suppress(sqlite3.Error, UnicodeDecodeError):
            for (name,) in link.execute(query):
                found[str(name)] = None
    return list(found)


def _taken(link: sqlite3.Connection, plan: str) -> Rows | None:
    """Return all rows of a plan if every one of them is sound."""
    try:
        rows = {
            "plans": _rows(link, "SELECT * FROM plans WHERE id = ?", (plan,)),
            **{
                table: _rows(link, f"SELECT * FROM {table} WHERE plan = ?", (plan,))  # noqa: S608
                for table in _TABLES
            },
        }
        names = [picture for _, picture in rows["uses"]]
        rows["pictures"] = [
            row
            for name in names
            for row in _rows(link, "SELECT * FROM pictures WHERE name = ?", (name,))
        ]
        return rows if _is_sound(rows, names) else None
    except (sqlite3.Error, UnicodeDecodeError):
        return None


def _rows(link: sqlite3.Connection, query: str, values: Sequence[str]) -> list[tuple[Any, ...]]:
    return list(link.execute(query, values))


def _is_sound(rows: Rows, names: list[str]) -> bool:
    """Tell whether a plan's rows hold together and say what they said when they were kept."""
    if len(rows["plans"]) != 1 or len(rows["pictures"]) != len(names):
        return False
    _, cursor, newest, _ = rows["plans"][0]
    numbers = {row[1] for row in rows["revisions"]}
    if cursor not in numbers or newest < max(numbers):
        return False
    try:
        for row in rows["revisions"]:
            unsealed(Row(*row))
    except ValueError:
        return False
    return all(sha256(data).hexdigest() == name for name, data in rows["pictures"])


def _put(link: sqlite3.Connection, rows: Rows) -> None:
    for table in ("plans", "pictures", *_TABLES):
        for row in rows[table]:
            marks = ", ".join("?" * len(row))
            link.execute(f"INSERT OR IGNORE INTO {table} VALUES ({marks})", row)  # noqa: S608


def _title(rows: Rows) -> str:
    cursor = rows["plans"][0][1]
    return next(str(row[4]) for row in rows["revisions"] if row[1] == cursor)


def _opened(path: Path) -> sqlite3.Connection:
    link = sqlite3.connect(path, timeout=5)
    link.text_factory = str
    return link


def _check_own(link: sqlite3.Connection, path: Path) -> None:
    (mark,) = link.execute("PRAGMA application_id").fetchone()
    tables = {name for (name,) in link.execute("SELECT name FROM sqlite_master")}
    if mark not in (0, APPLICATION) or not {"plans", "revisions", "pictures"} <= tables:
        raise StoreError(f"{path} holds no plans of this program; choose another file")


def _check_sound(link: sqlite3.Connection, path: Path) -> None:
    (found,) = link.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise StoreError(f"{path} is damaged ({str(found)[:120]})")


def _family(path: Path) -> Iterable[Path]:
    return (path, *(path.with_name(path.name + end) for end in ("-wal", "-shm", "-journal")))


def _set_aside(data: Path) -> Path | None:
    """Keep what a data file is now under another name beside it."""
    if not data.is_file():
        return None
    before = data.with_name(f"{data.name}-before")
    try:
        try:
            with closing(_opened(data)) as link, closing(_opened(before)) as kept:
                link.backup(kept)
        except (sqlite3.Error, UnicodeDecodeError):  # So damaged that its bytes are all there is.
            before.write_bytes(data.read_bytes())
    except OSError as fault:
        raise StoreError(f"{before}: can't be written ({fault.strerror or fault})") from fault
    make_private(before)
    return before


def _poured(source: Path, data: Path) -> None:
    """Put the content of a file in place of that of another, whole."""
    data.parent.mkdir(parents=True, exist_ok=True)
    make_private(data)
    with closing(_opened(source)) as link:
        try:
            with closing(_opened(data)) as aim:
                link.backup(aim)
            return
        except (sqlite3.DatabaseError, UnicodeDecodeError) as fault:
            if "full" in str(fault):
                raise FullError(f"{data}: the disk is full; make room and try again") from fault
        # Not even the head of the file can be read: another one takes its place.
        beside = data.with_name(f".{data.name}-{os.getpid()}")
        with closing(_opened(beside)) as aim:
            link.backup(aim)
    for path in _family(data):
        path.unlink(missing_ok=True)
    make_private(beside)
    os.replace(beside, data)


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn SQLite's complaint about a file into a sentence that names it."""
    try:
        yield
    except (sqlite3.Error, UnicodeDecodeError) as fault:
        kind = FullError if "full" in str(fault) else StoreError
        raise kind(f"{path}: can't be copied ({fault})") from fault

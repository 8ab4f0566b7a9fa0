"""The tables, how a database is opened, and what its complaints mean.

One file of SQLite serves one machine. What is particular to it stands in
api.storage.sqlite: the same queries run on any database SQLAlchemy speaks to.
"""

from __future__ import annotations

from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import sqlalchemy as sa
from sqlalchemy.engine import URL, Connection, make_url
from sqlalchemy.exc import SQLAlchemyError

from api.storage import sqlite
from api.storage.reserve import Reserve

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


FORMAT = 3
"""Version of the tables below. Form 1 lacked ``variants`` and ``links``; form 2 called the first of
them ``kin``. Nothing else has changed.
"""

_meta = sa.MetaData()

about = sa.Table("about", _meta, sa.Column("format", sa.Integer, primary_key=True))
"""Which version of the tables this is."""

plans = sa.Table(
    "plans",
    _meta,
    sa.Column("id", sa.String(40), primary_key=True),
    sa.Column("cursor", sa.Integer, nullable=False),
    sa.Column("newest", sa.Integer, nullable=False),
    sa.Column("saved_at", sa.String(32), nullable=False),
)
"""Plans: the revision each stands at, and the highest number it ever gave out."""

revisions = sa.Table(
    "revisions",
    _meta,
    sa.Column("plan", sa.ForeignKey(plans.c.id), primary_key=True),
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("made_at", sa.String(32), nullable=False),
    sa.Column("what", sa.Text, nullable=False),
    sa.Column("title", sa.Text, nullable=False),
    sa.Column("body", sa.LargeBinary, nullable=False),
)
"""Every saved state of every plan, compressed."""

pictures = sa.Table(
    "pictures",
    _meta,
    sa.Column("name", sa.String(64), primary_key=True),
    sa.Column("data", sa.LargeBinary, nullable=False),
)
"""Pictures under the SHA-256 of their bytes, so that equal ones are kept once."""

uses = sa.Table(
    "uses",
    _meta,
    sa.Column("plan", sa.ForeignKey(plans.c.id), primary_key=True),
    sa.Column("picture", sa.ForeignKey(pictures.c.name), primary_key=True),
)
"""Which plan uses which picture, so that pictures go when their last plan does."""


variants = sa.Table(
    "variants",
    _meta,
    sa.Column("plan", sa.ForeignKey(plans.c.id), primary_key=True),
    sa.Column("family", sa.String(40), nullable=False, index=True),
)
"""Which family a copy belongs to; a plan that is no copy is a family under its own id."""

links = sa.Table(
    "links",
    _meta,
    sa.Column("token", sa.String(40), primary_key=True),
    sa.Column("plan", sa.ForeignKey(plans.c.id), nullable=False, unique=True),
)
"""Under which secret word a plan can be looked at."""


class StoreError(Exception):
    """The database can't be used; the message says why and what to do."""


class FullError(StoreError):
    """The disk has no room for a change."""


class Database:
    """An open database with the tables in place.

    Parameters
    ----------
    where : str | Path
        A path of a SQLite file (made if it is not there), or a database URL.

    Raises
    ------
    StoreError
        If it can't be opened, is not a database, or is of a newer version.
    """

    def __init__(self, where: str | Path) -> None:
        self._url, self._engine = _engine(where)
        self.file = _file(self._url)
        self._sqlite = self._engine.dialect.name == "sqlite"
        if self._sqlite:
            sa.event.listen(self._engine, "connect", sqlite.set_pragmas)
        file = self.file
        if file:
            _make_folder(file)
            sqlite.make_private(file)
        self._reserve = Reserve(file) if file else None
        self._with_room(self._open)
        if self._reserve:
            self._reserve.keep()

    def _open(self) -> None:
        with self.writing() as link:
            self._check_own(link)
            _bring_up(link)
            _meta.create_all(link)
        self._check_format()
        if self._sqlite:
            # On a full disk the file stays as it is until there is room.
            with suppress(FullError), self._told(), self._alone() as link:
                sqlite.let_shrink(link)

    def _check_own(self, link: Connection) -> None:
        """Refuse a file that another program made: nothing is added to it."""
        if not self._sqlite:
            return
        tables = set(sa.inspect(link).get_table_names())
        if sqlite.is_foreign(link, tables, {about.name}):
            raise StoreError(
                f"{_place(self._url)} is the database of another program; nothing was changed in "
                "it: choose another file"
            )
        sqlite.mark_own(link)

    @contextmanager
    def _alone(self) -> Iterator[Connection]:
        """Lend a connection that is in no transaction, for what SQLite does in none."""
        with self._engine.connect() as link:
            yield link.execution_options(isolation_level="AUTOCOMMIT")

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Lend a connection for queries."""
        with self._told(), self._engine.connect() as link:
            yield link

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Lend a connection whose changes are all committed at the end, or none of them."""
        try:
            with self._told(), self._engine.begin() as link:
                yield link
        except FullError:
            self._shorten_log()  # So that trying again finds what was deleted.
            raise

    def deleting(self, change: Callable[[Connection], None]) -> None:
        """Make a change that deletes: it is made on a full disk too, in room kept for that."""

        def work() -> None:
            with self.writing() as link:
                change(link)

        self._with_room(work)
        self._give_back()

    def _give_back(self) -> None:
        """Give what was freed back to the disk; where that fails, it is used again later."""
        if self._sqlite:
            with suppress(StoreError), self._told(), self._alone() as link:
                sqlite.give_back(link)

    def _with_room(self, work: Callable[[], None]) -> None:
        """Do what must go on a full disk; the room kept for it is taken again if there is any."""
        try:
            work()
        except FullError:
            if not (self._reserve and self._reserve.give_up()):
                raise
            try:
                work()
            finally:
                self._shorten_log()
                self._reserve.keep()

    def _shorten_log(self) -> None:
        """Bring what stands in SQLite's log into its file, where deleted pages are used again."""
        if self._sqlite:
            with suppress(StoreError), self._told(), self._alone() as link:
                sqlite.shorten_log(link)

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Turn a driver's complaint into a sentence that names the database."""
        driver = self._engine.dialect.loaded_dbapi
        # A complaint made while a connection is being opened arrives as it is.
        faults = (SQLAlchemyError, UnicodeDecodeError, *((driver.Error,) if driver else ()))
        try:
            yield
        except faults as fault:
            words = str(getattr(fault, "orig", None) or fault)
            kind = FullError if _FULL in words else StoreError
            raise kind(f"{_place(self._url)}: {_advice(words)} ({words})") from fault

    def _check_format(self) -> None:
        with self.writing() as link:
            found = link.scalar(sa.select(sa.func.max(about.c.format)))
            # Tables that an earlier form lacked have been made by now; what it held stays.
            if found is None or found < FORMAT:
                link.execute(about.insert().values(format=FORMAT))
        if found is not None and found > FORMAT:
            raise StoreError(
                f"{_place(self._url)} was written by a newer version (form {found}; this one knows "
                f"{FORMAT}); update the program or choose another file"
            )


def _bring_up(link: Connection) -> None:
    """Give tables of an earlier form their names of now; what they hold stays."""
    names = sa.inspect(link).get_table_names()
    if "kin" in names and "variants" not in names:
        link.execute(sa.text("ALTER TABLE kin RENAME TO variants"))
        link.execute(sa.text("DROP INDEX ix_kin_family"))
        (index,) = variants.indexes
        index.create(link)


_FULL = "full"
_NO_DATABASE = (
    "this file is not a database of plans; choose another file, or run 'spreadwell mend' if it was "
    "one"
)
_DAMAGED = (
    "the database is damaged; stop the program and run 'spreadwell mend', which takes what can't "
    "be read from the daily copy"
)
_ADVICE = (
    ("not a database", _NO_DATABASE),
    ("malformed", _DAMAGED),
    ("decode", _DAMAGED),  # What was text is none any more.
    ("readonly", "the file may not be written; change its rights or choose another place"),
    ("unable to open", "the file can't be opened; check that its folder may be written"),
    (_FULL, "the disk is full; delete plans you no longer need, or make room, and try again"),
    ("locked", "another program holds the database; close it and try again"),
    ("I/O", "the disk failed while reading or writing; check it and try again"),
)


def _advice(words: str) -> str:
    for mark, sentence in _ADVICE:
        if mark in words:
            return sentence
    return "the database can't be used; try again or choose another one"


def _place(url: URL) -> str:
    return url.database or url.render_as_string(hide_password=True)


def _engine(where: str | Path) -> tuple[URL, sa.Engine]:
    text = str(where)
    try:
        url = make_url(text) if "://" in text else URL.create("sqlite", database=text)
        return url, sa.create_engine(url)
    except (SQLAlchemyError, ImportError, TypeError) as fault:
        raise StoreError(
            f"{text!r} is not the address of a database this program can use ({fault}); "
            "give the path of a file, or install the driver that is missing"
        ) from fault


def _file(url: URL) -> Path | None:
    """Return the file of a database that is one on this machine."""
    if url.get_backend_name() != "sqlite" or url.database in (None, "", ":memory:"):
        return None
    return Path(url.database)


def _make_folder(file: Path) -> None:
    folder = file.parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise StoreError(
            f"{folder}: the folder can't be made ({fault.strerror}); choose another place"
        ) from fault

"""Plans, their revisions and their pictures, kept in a database.

Words used here
---------------
revision : one saved state of a plan. Numbers only grow, so one number always
    means the same content.
cursor : the revision a plan stands at. Undo and redo move it; a new change
    drops the revisions after it and becomes the newest.
body : a plan's JSON text. What it says is no concern of this module.

What a method returns has been committed.
"""

from __future__ import annotations

import secrets
import zlib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from typing import TYPE_CHECKING

import sqlalchemy as sa

from api.storage.backup import forget
from api.storage.database import (
    Database,
    StoreError,
    links,
    pictures,
    plans,
    revisions,
    uses,
    variants,
)

if TYPE_CHECKING:
    from pathlib import Path

    from sqlalchemy.engine import Connection


class MissingError(StoreError):
    """There is no such plan or picture."""


class DamagedError(StoreError):
    """What was kept of a plan can't be read; the others can."""


class ConflictError(StoreError):
    """The plan has changed since the caller last saw it."""


class StuckError(StoreError):
    """There is nothing to undo or redo."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A state of a plan that is to be kept."""

    title: str
    """The plan's title."""
    body: str
    """Its JSON text."""
    what: str
    """What was done, in words."""
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    """Pictures it brings along: bytes under the SHA-256 of the bytes, in hex."""


@dataclass(frozen=True, slots=True)
class Saved:
    """A plan as it stands in the store."""

    id: str
    """The plan's id."""
    revision: int
    """The revision it stands at."""
    body: str
    """Its JSON text."""
    can_undo: bool
    """Whether an earlier revision exists."""
    can_redo: bool
    """Whether an undone revision exists."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the list of plans."""

    id: str
    """The plan's id."""
    title: str
    """Its title."""
    revision: int
    """The revision it stands at."""
    saved_at: str
    """When it last changed: UTC, ISO 8601."""
    family: str
    """The family it is of: plans that began as copies of one another share it."""


@dataclass(frozen=True, slots=True)
class Revision:
    """One change of a plan."""

    revision: int
    """Its number."""
    made_at: str
    """When it was made: UTC, ISO 8601."""
    what: str
    """What was done, in words."""
    current: bool
    """Whether the plan stands at it."""


class Store:
    """Plans and pictures in one database.

    Every method raises StoreError when the database fails, MissingError
    without the plan or picture asked for, and ConflictError if the plan does
    not stand at the expected revision.

    Parameters
    ----------
    where : str | Path
        A path of a SQLite file (made if it is not there), or a database URL.
    """

    def __init__(self, where: str | Path) -> None:
        self._database = Database(where)

    @property
    def file(self) -> Path | None:
        """The file of a database that is one on this machine."""
        return self._database.file

    def close(self) -> None:
        """Let go of the database."""
        self._database.close()

    def plans(self) -> tuple[Entry, ...]:
        """Return all plans, the last changed first; those that can't be read come last."""
        try:
            with self._database.reading() as link:
                return tuple(Entry(*row) for row in link.execute(_ENTRIES))
        except StoreError:
            found = [self._entry(name) for name in self._names()]
            if not found:
                raise
            return tuple(sorted(found, key=lambda entry: entry.saved_at, reverse=True))

    def _names(self) -> list[str]:
        """Return the ids of all plans in a damaged file, however little of them can be read."""
        names: dict[str, None] = {}
        for query in (sa.select(plans.c.id), sa.select(revisions.c.plan).distinct()):
            with suppress(StoreError), self._database.reading() as link:
                for name in link.scalars(query):
                    names[str(name)] = None
        return list(names)

    def _entry(self, plan: str) -> Entry:
        """Return the line of one plan in a damaged file; without a title if that can't be read."""
        with suppress(StoreError), self._database.reading() as link:
            row = link.execute(_ENTRIES.where(plans.c.id == plan)).one_or_none()
            if row:
                return Entry(*row)
        return Entry(plan, "", 0, "", plan)

    def family(self, plan: str) -> tuple[Entry, ...]:
        """Return a plan and all that began as copies of it or of one another, oldest first."""
        with self._database.reading() as link:
            _read(link, plan)
            of_family = _FAMILY.in_([_family(link, plan)])
            query = _ENTRIES.where(of_family).order_by(None).order_by(_BEGAN, plans.c.id)
            return tuple(Entry(*row) for row in link.execute(query))

    def add(self, draft: Draft, *, like: str | None = None) -> Saved:
        """Keep a new plan under a new id; its first revision is 1.

        With ``like`` it joins that plan's family and uses the same pictures.
        """
        plan = secrets.token_hex(8)
        with self._database.writing() as link:
            link.execute(plans.insert().values(id=plan, cursor=1, newest=1, saved_at=_now()))
            if like is not None:
                _read(link, like)
                link.execute(variants.insert().values(plan=plan, family=_family(link, like)))
                shared = sa.select(sa.literal(plan), uses.c.picture).where(uses.c.plan == like)
                link.execute(uses.insert().from_select(["plan", "picture"], shared))
            _write(link, plan, 1, draft)
            return _read(link, plan)

    def get(self, plan: str, expected: int | None = None) -> Saved:
        """Return a plan as it stands."""
        with self._database.reading() as link:
            return _expect(_read(link, plan), expected)

    def save(self, plan: str, draft: Draft, *, expected: int) -> Saved:
        """Keep a change as a new revision; undone revisions are dropped."""
        with self._database.writing() as link:
            _move(
                link, plan, expected, {"cursor": plans.c.newest + 1, "newest": plans.c.newest + 1}
            )
            undone = (revisions.c.plan == plan) & (revisions.c.number > expected)
            link.execute(revisions.delete().where(undone))
            number = link.scalars(sa.select(plans.c.cursor).where(plans.c.id == plan)).one()
            _write(link, plan, number, draft)
            _thin(link, plan, number)
            return _read(link, plan)

    def keep(self, plan: str, data: Mapping[str, bytes]) -> None:
        """Keep pictures with a plan that no revision of it needs yet."""
        with self._database.writing() as link:
            _read(link, plan)
            _keep_pictures(link, plan, data)

    def undo(self, plan: str, expected: int | None = None) -> Saved:
        """Step back to the revision before; StuckError if there is none."""
        return self._step(plan, expected, back=True)

    def redo(self, plan: str, expected: int | None = None) -> Saved:
        """Step forward to the revision undone last; StuckError if there is none."""
        return self._step(plan, expected, back=False)

    def go(self, plan: str, revision: int, expected: int | None = None) -> Saved:
        """Stand at any revision there is, undone ones too; MissingError if there is none."""
        with self._database.writing() as link:
            here = _expect(_read(link, plan), expected).revision
            if not _has_revision(link, plan, revision):
                raise MissingError(
                    f"this plan has no revision {revision}; it may have been dropped by a change "
                    "after an undo; look at the list of changes again"
                )
            if revision != here:
                _move(link, plan, here, {"cursor": revision})
            return _read(link, plan)

    def _step(self, plan: str, expected: int | None, *, back: bool) -> Saved:
        with self._database.writing() as link:
            here = _expect(_read(link, plan), expected).revision
            target = _neighbour(link, plan, here, back=back)
            if target is None:
                raise StuckError(f"there is nothing to {'undo' if back else 'redo'} in this plan")
            _move(link, plan, here, {"cursor": target})
            return _read(link, plan)

    def revisions(self, plan: str) -> tuple[Revision, ...]:
        """Return a plan's changes, oldest first, undone ones included."""
        current = (revisions.c.number == plans.c.cursor).label("current")
        query = (
            sa.select(revisions.c.number, revisions.c.made_at, revisions.c.what, current)
            .join(plans, plans.c.id == revisions.c.plan)
            .where(revisions.c.plan == plan)
            .order_by(revisions.c.number)
        )
        with self._database.reading() as link:
            found = tuple(Revision(*row) for row in link.execute(query))
        if not found:
            raise _missing_plan(plan)
        return found

    def link(self, plan: str) -> str:
        """Return the secret word under which a plan can be looked at; it gets one if it has none.

        128 random bits: nobody finds it by trying.
        """
        with self._database.writing() as link:
            known = _token(link, plan)
            if known:
                return known
            token = secrets.token_urlsafe(16)
            link.execute(links.insert().values(token=token, plan=plan))
            return token

    def token(self, plan: str) -> str:
        """Return the secret word under which a plan can be looked at; '' if it has none."""
        with self._database.reading() as link:
            return _token(link, plan)

    def unlink(self, plan: str) -> None:
        """Withdraw the word; whoever has it sees nothing any more."""
        with self._database.writing() as link:
            _read(link, plan)
            link.execute(links.delete().where(links.c.plan == plan))

    def linked(self, token: str) -> str:
        """Return the plan that a word leads to."""
        with self._database.reading() as link:
            plan = link.scalar(sa.select(links.c.plan).where(links.c.token == token))
        if not isinstance(plan, str):
            raise MissingError(
                "this link leads to no pattern; it may have been withdrawn: ask for a new one"
            )
        return plan

    def delete(self, plan: str) -> None:
        """Forget a plan, its revisions, and the pictures no other plan uses; on a full disk too."""

        def change(link: Connection) -> None:
            link.execute(uses.delete().where(uses.c.plan == plan))
            for table in (revisions, variants, links):
                link.execute(table.delete().where(table.c.plan == plan))
            if not link.execute(plans.delete().where(plans.c.id == plan)).rowcount:
                raise _missing_plan(plan)
            used = sa.select(uses.c.picture)
            link.execute(pictures.delete().where(pictures.c.name.not_in(used)))

        self._database.deleting(change)
        if self._database.file:
            forget(self._database.file, plan)

    def picture(self, name: str) -> bytes:
        """Return a picture's bytes; DamagedError if they are not those that were kept."""
        with self._database.reading() as link:
            data = link.scalar(sa.select(pictures.c.data).where(pictures.c.name == name))
        if data is None:
            raise MissingError(f"there is no picture {name!r}; load the plan again")
        if sha256(data).hexdigest() != name:
            raise DamagedError(
                f"the kept picture {name[:12]} is damaged; take the fabric's photo again, or "
                "restore the copy of the plans"
            )
        return bytes(data)


_AT_CURSOR = (revisions.c.plan == plans.c.id) & (revisions.c.number == plans.c.cursor)


_FAMILY = sa.func.coalesce(variants.c.family, plans.c.id)
_ENTRIES = (
    sa.select(plans.c.id, revisions.c.title, plans.c.cursor, plans.c.saved_at, _FAMILY)
    .join(revisions, _AT_CURSOR)
    .join(variants, variants.c.plan == plans.c.id, isouter=True)
    .order_by(plans.c.saved_at.desc(), plans.c.id)
)
_FIRST = revisions.alias()
_BEGAN = (
    sa.select(sa.func.min(_FIRST.c.made_at)).where(_FIRST.c.plan == plans.c.id).scalar_subquery()
)


def _family(link: Connection, plan: str) -> str:
    return link.scalar(sa.select(variants.c.family).where(variants.c.plan == plan)) or plan


def _token(link: Connection, plan: str) -> str:
    _read(link, plan)
    return link.scalar(sa.select(links.c.token).where(links.c.plan == plan)) or ""


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _missing_plan(plan: str) -> MissingError:
    return MissingError(f"there is no plan {plan!r}; it may have been deleted")


def _expect(saved: Saved, expected: int | None) -> Saved:
    if expected not in (None, saved.revision):
        raise ConflictError(
            f"the plan stands at revision {saved.revision}, not {expected}: it was changed "
            "meanwhile; load it again and repeat your change"
        )
    return saved


def _read(link: Connection, plan: str) -> Saved:
    query = (
        sa.select(plans.c.cursor, revisions.c.body)
        .join(revisions, _AT_CURSOR)
        .where(plans.c.id == plan)
    )
    row = link.execute(query).one_or_none()
    if row is None:
        raise _missing_plan(plan)
    cursor, body = row
    return Saved(
        id=plan,
        revision=cursor,
        body=_text(plan, body),
        can_undo=_neighbour(link, plan, cursor, back=True) is not None,
        can_redo=_neighbour(link, plan, cursor, back=False) is not None,
    )


def _text(plan: str, body: bytes) -> str:
    """Return a plan's JSON text as it was kept."""
    try:
        return zlib.decompress(body).decode()
    except (zlib.error, UnicodeDecodeError) as fault:
        raise DamagedError(
            f"the kept plan {plan} is damaged ({fault}); go back to an earlier state of it, or "
            "open its file if you kept one"
        ) from fault


def _has_revision(link: Connection, plan: str, number: int) -> bool:
    here = (revisions.c.plan == plan) & (revisions.c.number == number)
    return link.scalar(sa.select(revisions.c.number).where(here)) is not None


def _neighbour(link: Connection, plan: str, number: int, *, back: bool) -> int | None:
    """Return the number of the revision before or after one; None at the end."""
    column = revisions.c.number
    nearest, beyond = (
        (sa.func.max(column), column < number) if back else (sa.func.min(column), column > number)
    )
    found: int | None = link.scalar(sa.select(nearest).where(revisions.c.plan == plan, beyond))
    return found


def _move(link: Connection, plan: str, expected: int, aim: Mapping[str, object]) -> None:
    """Move a plan's cursor, in one step with the check that it stands where expected."""
    here = (plans.c.id == plan) & (plans.c.cursor == expected)
    moved = link.execute(plans.update().where(here).values(saved_at=_now(), **aim)).rowcount
    if not moved:
        _expect(_read(link, plan), expected)


_ALL, _TENTH = 100, 1000
"""Of the newest changes so many are all kept; of those before, up to so many, every tenth."""


def _thin(link: Connection, plan: str, newest: int) -> None:
    """Drop old states of a plan, so that they do not outgrow it.

    The last 100 are all kept, of those before them every tenth, and of those more than 1,000
    back every hundredth. The first is kept for ever.
    """
    number = revisions.c.number
    old = (number <= newest - _ALL) & (number % 10 != 0)
    older = (number <= newest - _TENTH) & (number % 100 != 0)
    spare = (revisions.c.plan == plan) & (number > 1) & (old | older)
    link.execute(revisions.delete().where(spare))


def _write(link: Connection, plan: str, number: int, draft: Draft) -> None:
    link.execute(
        revisions.insert().values(
            plan=plan,
            number=number,
            made_at=_now(),
            what=draft.what,
            title=draft.title,
            body=zlib.compress(draft.body.encode()),
        )
    )
    _keep_pictures(link, plan, draft.pictures)


def _keep_pictures(link: Connection, plan: str, data: Mapping[str, bytes]) -> None:
    names = set(data)
    held = set(link.scalars(sa.select(pictures.c.name).where(pictures.c.name.in_(names))))
    for name in sorted(names - held):
        link.execute(pictures.insert().values(name=name, data=data[name]))
    linked = set(link.scalars(sa.select(uses.c.picture).where(uses.c.plan == plan)))
    for name in sorted(names - linked):
        link.execute(uses.insert().values(plan=plan, picture=name))

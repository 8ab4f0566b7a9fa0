"""Plans, their revisions and their pictures, kept in a database.

What a method returns has been committed. The words used here are those of api.storage.kept.
"""

from __future__ import annotations

import secrets
from contextlib import suppress
from hashlib import sha256
from typing import TYPE_CHECKING

import sqlalchemy as sa

from api.storage import rows
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
from api.storage.kept import (
    DamagedError,
    Draft,
    Entry,
    MissingError,
    Past,
    Revision,
    Saved,
    Step,
    StuckError,
)
from api.storage.seal import Row

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from sqlalchemy.engine import Connection


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
                return tuple(Entry(*row) for row in link.execute(rows.ENTRIES))
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
            row = link.execute(rows.ENTRIES.where(plans.c.id == plan)).one_or_none()
            if row:
                return Entry(*row)
        return Entry(plan, "", 0, "", plan)

    def family(self, plan: str) -> tuple[Entry, ...]:
        """Return a plan and all that began as copies of it or of one another, oldest first."""
        with self._database.reading() as link:
            rows.read(link, plan)
            of_family = rows.FAMILY.in_([rows.family_of(link, plan)])
            query = rows.ENTRIES.where(of_family).order_by(None).order_by(rows.BEGAN, plans.c.id)
            return tuple(Entry(*row) for row in link.execute(query))

    def add(self, draft: Draft, *, like: str | None = None) -> Saved:
        """Keep a new plan under a new id; its first revision is 1.

        With ``like`` it joins that plan's family and uses the same pictures.
        """
        plan = secrets.token_hex(8)
        with self._database.writing() as link:
            link.execute(plans.insert().values(id=plan, cursor=1, newest=1, saved_at=rows.now()))
            if like is not None:
                rows.read(link, like)
                link.execute(variants.insert().values(plan=plan, family=rows.family_of(link, like)))
                shared = sa.select(sa.literal(plan), uses.c.picture).where(uses.c.plan == like)
                link.execute(uses.insert().from_select(["plan", "picture"], shared))
            rows.write(link, plan, 1, draft)
            rows.keep_pictures(link, plan, draft.pictures)
            return rows.read(link, plan)

    def take(self, past: Past, data: Mapping[str, bytes]) -> Saved:
        """Keep a plan with its changes under a new id, and pictures that any of them shows."""
        plan, newest = secrets.token_hex(8), past.steps[-1].number
        with self._database.writing() as link:
            link.execute(
                plans.insert().values(id=plan, cursor=past.at, newest=newest, saved_at=rows.now())
            )
            for step in past.steps:
                rows.write(link, plan, step.number, step, made_at=step.made_at)
            rows.keep_pictures(link, plan, data)
            return rows.read(link, plan)

    def step(self, plan: str, number: int) -> Step:
        """Return one state of a plan, wherever the plan stands."""
        query = sa.select(revisions).where(revisions.c.plan == plan, revisions.c.number == number)
        with self._database.reading() as link:
            row = link.execute(query).one_or_none()
        if row is None:
            raise MissingError(f"this plan has no revision {number} any more")
        return Step(row.number, row.made_at, row.what, row.title, rows.text_of(Row(*row)))

    def get(self, plan: str, expected: int | None = None) -> Saved:
        """Return a plan as it stands."""
        with self._database.reading() as link:
            return rows.expect(rows.read(link, plan), expected)

    def save(self, plan: str, draft: Draft, *, expected: int) -> Saved:
        """Keep a change as a new revision; undone revisions are dropped."""
        with self._database.writing() as link:
            rows.move(
                link, plan, expected, {"cursor": plans.c.newest + 1, "newest": plans.c.newest + 1}
            )
            undone = (revisions.c.plan == plan) & (revisions.c.number > expected)
            link.execute(revisions.delete().where(undone))
            number = link.scalars(sa.select(plans.c.cursor).where(plans.c.id == plan)).one()
            rows.write(link, plan, number, draft)
            rows.keep_pictures(link, plan, draft.pictures)
            rows.thin(link, plan, number)
            return rows.read(link, plan)

    def keep(self, plan: str, data: Mapping[str, bytes]) -> None:
        """Keep pictures with a plan that no revision of it needs yet."""
        with self._database.writing() as link:
            rows.read(link, plan)
            rows.keep_pictures(link, plan, data)

    def undo(self, plan: str, expected: int | None = None) -> Saved:
        """Step back to the revision before; StuckError if there is none."""
        return self._step(plan, expected, back=True)

    def redo(self, plan: str, expected: int | None = None) -> Saved:
        """Step forward to the revision undone last; StuckError if there is none."""
        return self._step(plan, expected, back=False)

    def go(self, plan: str, revision: int, expected: int | None = None) -> Saved:
        """Stand at any revision there is, undone ones too; MissingError if there is none."""
        with self._database.writing() as link:
            here = rows.expect(rows.read(link, plan), expected).revision
            if not rows.has_revision(link, plan, revision):
                raise MissingError(
                    f"this plan has no revision {revision}; it may have been dropped by a change "
                    "after an undo; look at the list of changes again"
                )
            if revision != here:
                rows.move(link, plan, here, {"cursor": revision})
            return rows.read(link, plan)

    def _step(self, plan: str, expected: int | None, *, back: bool) -> Saved:
        with self._database.writing() as link:
            here = rows.expect(rows.read(link, plan), expected).revision
            target = rows.neighbour(link, plan, here, back=back)
            if target is None:
                raise StuckError(f"there is nothing to {'undo' if back else 'redo'} in this plan")
            rows.move(link, plan, here, {"cursor": target})
            return rows.read(link, plan)

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
            raise rows.missing_plan(plan)
        return found

    def link(self, plan: str) -> str:
        """Return the secret word under which a plan can be looked at; it gets one if it has none.

        128 random bits: nobody finds it by trying.
        """
        with self._database.writing() as link:
            known = rows.token_of(link, plan)
            if known:
                return known
            token = secrets.token_urlsafe(16)
            link.execute(links.insert().values(token=token, plan=plan))
            return token

    def token(self, plan: str) -> str:
        """Return the secret word under which a plan can be looked at; '' if it has none."""
        with self._database.reading() as link:
            return rows.token_of(link, plan)

    def unlink(self, plan: str) -> None:
        """Withdraw the word; whoever has it sees nothing any more."""
        with self._database.writing() as link:
            rows.read(link, plan)
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
                raise rows.missing_plan(plan)
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

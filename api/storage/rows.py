"""Queries on the rows of plans, revisions and pictures, within one connection."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import sqlalchemy as sa

from api.storage.database import links, pictures, plans, revisions, uses, variants
from api.storage.kept import ConflictError, DamagedError, Draft, MissingError, Saved, Step
from api.storage.seal import Row, sealed, unsealed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy.engine import Connection

AT_CURSOR = (revisions.c.plan == plans.c.id) & (revisions.c.number == plans.c.cursor)

FAMILY = sa.func.coalesce(variants.c.family, plans.c.id)
"""The family that a plan is of."""
ENTRIES = (
    sa.select(plans.c.id, revisions.c.title, plans.c.cursor, plans.c.saved_at, FAMILY)
    .join(revisions, AT_CURSOR)
    .join(variants, variants.c.plan == plans.c.id, isouter=True)
    .order_by(plans.c.saved_at.desc(), plans.c.id)
)
"""The lines of the list of plans, the last changed first."""
_FIRST = revisions.alias()
BEGAN = (
    sa.select(sa.func.min(_FIRST.c.made_at)).where(_FIRST.c.plan == plans.c.id).scalar_subquery()
)
"""When a plan was begun."""


def family_of(link: Connection, plan: str) -> str:
    """Return the family that a plan is of; its own id if it is no copy."""
    return link.scalar(sa.select(variants.c.family).where(variants.c.plan == plan)) or plan


def token_of(link: Connection, plan: str) -> str:
    """Return the word of a plan's link; '' if it has none."""
    read(link, plan)
    return link.scalar(sa.select(links.c.token).where(links.c.plan == plan)) or ""


def now() -> str:
    """Return the time: UTC, ISO 8601."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def missing_plan(plan: str) -> MissingError:
    """Return what is raised where there is no such plan."""
    return MissingError(f"there is no plan {plan!r}; it may have been deleted")


def expect(saved: Saved, expected: int | None) -> Saved:
    """Return a plan as it stands; ConflictError if it stands elsewhere than expected."""
    if expected not in (None, saved.revision):
        raise ConflictError(
            f"the plan stands at revision {saved.revision}, not {expected}: it was changed "
            "meanwhile; load it again and repeat your change"
        )
    return saved


def read(link: Connection, plan: str) -> Saved:
    """Return a plan as it stands; MissingError if there is none."""
    query = sa.select(revisions).join(plans, AT_CURSOR).where(plans.c.id == plan)
    row = link.execute(query).one_or_none()
    if row is None:
        raise missing_plan(plan)
    cursor = row.number
    return Saved(
        id=plan,
        revision=cursor,
        body=text_of(Row(*row)),
        can_undo=neighbour(link, plan, cursor, back=True) is not None,
        can_redo=neighbour(link, plan, cursor, back=False) is not None,
    )


def text_of(row: Row) -> str:
    """Return a plan's JSON text as it was kept; DamagedError if it, or what is told of it, is not.

    A row of an earlier version has no seal, so that its text alone is sure.
    """
    try:
        return unsealed(row)
    except ValueError as fault:
        raise DamagedError(
            f"the kept plan {row.plan} is damaged ({fault}); go back to an earlier state of it, or "
            "open its file if you kept one"
        ) from fault


def has_revision(link: Connection, plan: str, number: int) -> bool:
    """Tell whether a plan has a revision of that number."""
    here = (revisions.c.plan == plan) & (revisions.c.number == number)
    return link.scalar(sa.select(revisions.c.number).where(here)) is not None


def neighbour(link: Connection, plan: str, number: int, *, back: bool) -> int | None:
    """Return the number of the revision before or after one; None at the end."""
    column = revisions.c.number
    nearest, beyond = (
        (sa.func.max(column), column < number) if back else (sa.func.min(column), column > number)
    )
    found: int | None = link.scalar(sa.select(nearest).where(revisions.c.plan == plan, beyond))
    return found


def move(link: Connection, plan: str, expected: int, aim: Mapping[str, object]) -> None:
    """Move a plan's cursor, in one step with the check that it stands where expected."""
    here = (plans.c.id == plan) & (plans.c.cursor == expected)
    moved = link.execute(plans.update().where(here).values(saved_at=now(), **aim)).rowcount
    if not moved:
        expect(read(link, plan), expected)


_ALL, _TENTH = 100, 1000
"""Of the newest changes so many are all kept; of those before, up to so many, every tenth."""


def thin(link: Connection, plan: str, newest: int) -> None:
    """Drop old states of a plan, so that they do not outgrow it.

    The last 100 are all kept, of those before them every tenth, and of those more than 1,000
    back every hundredth. The first is kept for ever.
    """
    number = revisions.c.number
    old = (number <= newest - _ALL) & (number % 10 != 0)
    older = (number <= newest - _TENTH) & (number % 100 != 0)
    spare = (revisions.c.plan == plan) & (number > 1) & (old | older)
    link.execute(revisions.delete().where(spare))


def write(
    link: Connection, plan: str, number: int, state: Draft | Step, *, made_at: str | None = None
) -> None:
    """Keep a state of a plan under a number, as made now unless it is said when."""
    made = made_at or now()
    row = sealed(Row(plan, number, made, state.what, state.title, state.body.encode()))
    link.execute(revisions.insert().values(row._asdict()))


def keep_pictures(link: Connection, plan: str, data: Mapping[str, bytes]) -> None:
    """Keep pictures that are not there yet, and note that a plan uses them."""
    names = set(data)
    held = set(link.scalars(sa.select(pictures.c.name).where(pictures.c.name.in_(names))))
    for name in sorted(names - held):
        link.execute(pictures.insert().values(name=name, data=data[name]))
    linked = set(link.scalars(sa.select(uses.c.picture).where(uses.c.plan == plan)))
    for name in sorted(names - linked):
        link.execute(uses.insert().values(plan=plan, picture=name))

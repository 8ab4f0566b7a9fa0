"""A kept plan given away as a file, and a plan taken in from one."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from api.pattern.plan import Plan
from api.pattern.stored import stored, to_json
from api.storage.archive import Parcel, in_plain_cloth, pack, unpack
from api.storage.history import bounded
from api.storage.kept import Draft, MissingError, Past, Saved
from api.wording.history import OPENED

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from api.pattern.brief import Brief
    from api.photos.worker_pool import Reader
    from api.storage.store import Store

SECONDS = 120.0
"""For all changes of a plan to be read; a hundred of a plan of seventy blocks take four."""

_TOO_LONG = (
    "the history in this file takes more than {seconds:g} seconds to read; take history.json and "
    "the folder history out of the file and open the rest"
)


@dataclass(frozen=True, slots=True)
class Opened:
    """A plan that was taken in."""

    saved: Saved
    """As it stands in the store."""
    plan: Plan
    """As a value."""
    lacking: int
    """Pictures that were not in the file, in place of which there is plain cloth."""
    left_out: int
    """Changes that had no room in the file."""


def packed(store: Store, plan: str, *, history: bool = False) -> bytes:
    """Return a kept plan with its pictures, and all its changes if wanted, as one file.

    Raises
    ------
    StoreError
        If there is no such plan, or what is kept of it is damaged.
    """
    saved = store.get(plan)
    brief = stored(saved.body).brief
    past = _past(store, saved) if history else None
    briefs = [brief, *(_briefs(past) if past else ())]
    shown = {swatch.picture for swatch in brief.everything()}
    return pack(
        saved.body,
        {name: store.picture(name) for name in shown},
        _more(store, briefs, shown),
        past,
    )


def _past(store: Store, saved: Saved) -> Past:
    steps = tuple(store.step(saved.id, line.revision) for line in store.revisions(saved.id))
    return bounded(Past(steps, saved.revision))


def _briefs(past: Past) -> Iterator[Brief]:
    return (stored(step.body).brief for step in reversed(past.steps))


def _more(store: Store, briefs: list[Brief], shown: set[str]) -> Iterator[tuple[str, bytes]]:
    """Yield what may go along: pictures of earlier states, then copies of photos."""
    every = [swatch for brief in briefs for swatch in brief.everything()]
    earlier = dict.fromkeys(swatch.picture for swatch in every if swatch.picture not in shown)
    taken = dict.fromkeys(swatch.taken.photo for swatch in every if swatch.taken)
    photos = [name for name in taken if name not in shown and name not in earlier]
    for folder, names in (("pictures", earlier), ("photos", photos)):
        for name in names:
            with suppress(MissingError):
                yield f"{folder}/{name}", store.picture(name)


def take_in(
    store: Store,
    reader: Reader,
    data: bytes,
    *,
    probe: Callable[[str], object] = lambda _: None,
    look: Callable[[], object] = lambda: None,
) -> Opened:
    """Keep the plan in a file of unknown origin as a new one, with its changes if it has them.

    Parameters
    ----------
    store, reader : Store, Reader
        Where it is kept, and what reads plans and pictures of unknown origin.
    data : bytes
        The file.
    probe : Callable[[str], object]
        Given the plan's text before it is kept; what it raises stops that.
    look : Callable[[], object]
        Called now and then; what it raises ends the work.

    Raises
    ------
    ValueError
        If it is no plan that can be taken; the message says why and what to do.
    StoreError
        If it can't be kept.
    """
    end = time.monotonic() + SECONDS

    def vet(text: bytes) -> bytes:
        look()
        if time.monotonic() > end:
            raise ValueError(_TOO_LONG.format(seconds=SECONDS))
        return reader.vet(text)

    def check(data: bytes, name: str, *, photo: bool) -> None:
        look()
        reader.do("check", data, {"name": name, "photo": photo})

    parcel = _completed(store, unpack(data, vet, check))
    whole = in_plain_cloth(parcel) if parcel.missing else parcel
    probe(to_json(whole.plan))
    saved = _kept(store, whole)
    left_out = whole.past.left_out if whole.past else 0
    return Opened(saved, whole.plan, len(parcel.missing), left_out)


def _kept(store: Store, parcel: Parcel) -> Saved:
    if parcel.past:
        return store.take(parcel.past, parcel.pictures)
    title, text = parcel.plan.brief.title, to_json(parcel.plan)
    return store.add(Draft(title, text, OPENED, parcel.pictures))


def _completed(store: Store, parcel: Parcel) -> Parcel:
    """Take pictures that a file lacks from the store, if they happen to be there."""
    found = {}
    for name in parcel.missing:
        with suppress(MissingError):
            found[name] = store.picture(name)
    pictures = {**parcel.pictures, **found}
    return replace(parcel, pictures=pictures, missing=parcel.missing - found.keys())

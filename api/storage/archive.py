"""A plan with its pictures as one file, and back.

The file is a ZIP archive with ``plan.json``, ``pictures/SHA256.jpg`` for each fabric and,
as far as there is room, ``photos/SHA256.jpg``: copies of the photos that they were cut
from, so that they can be put right there. If it was asked for, the plan's changes are in it
too (api.storage.history). Only those are compressed (JPEG does not shrink) and no time of
packing is written, so equal plans make equal bytes. What comes back is somebody
else's: sizes, names, hashes and references are checked before anything of it is kept.
"""

from __future__ import annotations

import io
import lzma
import re
import zipfile
import zlib
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum, auto
from typing import TYPE_CHECKING, Any, Protocol

from api.pattern.brief import MOST_FABRICS, Brief
from api.pattern.customs import MOST_JSON
from api.pattern.plan import Plan
from api.pattern.stored import from_json, stored, to_json, written
from api.pattern.untrusted import VettingError, swatches_of
from api.photos.intake import picture_name
from api.storage.history import (
    INDEX,
    MOST_PAST,
    MOST_STEPS,
    STATE,
    Pages,
    bounded,
    pages,
    read_pages,
)
from api.storage.kept import Past, Step
from palette.fabric import PhotoFault, PhotoWarning

if TYPE_CHECKING:
    from api.pattern.swatch import Swatch

MOST_PICTURE = 4_000_000
"""Bytes of one picture."""
MOST_ALL = 64_000_000
"""Bytes of everything in a file, unpacked."""
ROOM = 60_000_000
"""Bytes up to which copies of photos are put into a file: it has to be taken back as one upload."""
MOST_FILE = 64_000_000
"""Bytes of a file that is taken in."""
_MOST_INDEX = 150_000
"""Bytes of a ZIP's central directory; what this program writes takes 70,000 for 300 pictures and
their photos, and as much for 1,000 changes."""
_MOST_PARTS = 2 * MOST_FABRICS
"""Pictures and photos in a file."""

_PLAN = "plan.json"
_PICTURE = re.compile(r"(pictures|photos)/([0-9a-f]{64})\.jpg")
_THEN = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a ZIP can tell."""

_NO_PICTURE = PhotoWarning(PhotoFault.NO_PICTURE)


class PlanFileError(VettingError):
    """A file that can't be opened as a plan; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Parcel:
    """What a plan's file holds."""

    plan: Plan
    """The plan."""
    pictures: Mapping[str, bytes]
    """Its pictures by name, and copies of photos."""
    missing: frozenset[str] = frozenset()
    """Names of pictures that it lacks."""
    past: Past | None = None
    """Its changes, if they are in the file."""


def pack(
    body: str,
    pictures: Mapping[str, bytes],
    more: Iterable[tuple[str, bytes]] = (),
    past: Past | None = None,
) -> bytes:
    """Return a plan as one file.

    Parameters
    ----------
    body : str
        Its JSON text.
    pictures : Mapping[str, bytes]
        The pictures that it shows, by name.
    more : Iterable[tuple[str, bytes]]
        What goes along as far as there is room, the dearest first: 'pictures/NAME' that earlier
        states show, and 'photos/NAME'.
    past : Past | None
        Its changes, if they are to go along.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr(_entry(_PLAN), body)
        for name, text in pages(bounded(past)) if past else ():
            archive.writestr(_entry(name), text, zipfile.ZIP_DEFLATED)
        for name in sorted(pictures):
            archive.writestr(_entry(f"pictures/{name}.jpg"), pictures[name])
        left = _MOST_PARTS - len(pictures)
        for name, data in more:
            if left > 0 and len(data) <= min(MOST_PICTURE, ROOM - out.tell()):
                archive.writestr(_entry(f"{name}.jpg"), data)
                left -= 1
    return out.getvalue()


def _entry(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _THEN)
    info.create_system = 3
    info.external_attr = 0o644 << 16
    return info


class Check(Protocol):
    """Makes sure that bytes are a harmless picture, or the copy of a whole photo."""

    def __call__(self, data: bytes, name: str, *, photo: bool) -> None:
        """Raise ValueError with a sentence that speaks of it by that name if they are not."""


def unpack(data: bytes, vet: Callable[[bytes], bytes], check: Check) -> Parcel:
    """Open the bytes of a plan's file, or of its plan.json alone.

    A fabric whose photo is not there is one whose photo was not kept.

    Parameters
    ----------
    data : bytes
        The file.
    vet : Callable[[bytes], bytes]
        Makes a text that can be trusted of a plan's text of unknown origin, or raises ValueError;
        see api.pattern.untrusted.
    check : Check
        What looks at each picture.

    Raises
    ------
    ValueError
        If it is no plan, is damaged, or holds what has no place in it.
    """
    held = _unzipped(data) if data.startswith(b"PK") else _Held(data)
    taker = _Taker(held)
    plan = from_json(vet(held.text))
    plan = replace(plan, brief=taker.own(plan.brief))

    def state(text: bytes, told: Step) -> Step:
        kept = stored(vet(text))
        own = replace(kept, brief=taker.own(kept.brief))
        return replace(told, title=own.brief.title, body=written(own))

    now = Step(1, "", "", plan.brief.title, to_json(plan))
    past = read_pages(held.past, now, state)
    shown = (taker.wanted | (taker.copies - held.photos.keys())) & held.pictures.keys()
    kept = {name: held.pictures[name] for name in sorted(shown)}
    _look(kept, check, photo=False)
    copies = {name: held.photos[name] for name in sorted(taker.copies & held.photos.keys())}
    _look(copies, check, photo=True)
    return Parcel(plan, {**copies, **kept}, frozenset(taker.wanted - kept.keys()), past)


@dataclass(frozen=True, slots=True)
class _Held:
    """What a file holds, unread."""

    text: bytes
    """The plan."""
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    """Pictures by name."""
    photos: Mapping[str, bytes] = field(default_factory=dict)
    """Copies of photos by name."""
    past: Pages = field(default_factory=Pages)
    """The plan's changes."""


class _Taker:
    """Takes plans out of a file, and notes which pictures and photos they show."""

    def __init__(self, held: _Held) -> None:
        self._there = held.pictures.keys() | held.photos.keys()
        self.wanted: set[str] = set()
        self.copies: set[str] = set()

    def own(self, brief: Brief) -> Brief:
        """Return a brief that speaks of no photo that is not there."""
        for _, swatch in swatches_of(brief):
            self.wanted.add(swatch.picture)
            if swatch.taken:
                self.copies.add(swatch.taken.photo)
        return _on_swatches(brief, lambda swatch: _without_photo(swatch, self._there))


def _look(pictures: Mapping[str, bytes], check: Check, *, photo: bool) -> None:
    kind = "photo" if photo else "picture"
    for number, (name, picture) in enumerate(pictures.items(), 1):
        if picture_name(picture) != name:
            raise PlanFileError(f"{kind} {number} in this file is damaged; copy the file again")
        try:
            check(picture, f"{number} in this file", photo=photo)
        except ValueError as fault:
            raise PlanFileError(str(fault)) from fault


def _without_photo(swatch: Swatch, there: Collection[str]) -> Swatch:
    """Forget how a fabric was taken from a photo that is not there."""
    if swatch.taken is None or swatch.taken.photo in there:
        return swatch
    return replace(swatch, taken=None)


def _on_swatches(brief: Brief, edit: Callable[[Swatch], Swatch]) -> Brief:
    lists = {name for name, _ in swatches_of(brief)}
    changed: dict[str, Any] = {name: tuple(map(edit, getattr(brief, name))) for name in lists}
    return replace(brief, **changed)


def in_plain_cloth(parcel: Parcel) -> Parcel:
    """Put plain cloth in its colour in place of each picture that a parcel lacks."""
    from palette.colour import to_hex
    from palette.solid import cloth

    pictures = dict(parcel.pictures)

    def shown(swatch: Swatch) -> Swatch:
        if swatch.picture not in parcel.missing:
            return swatch
        drawn = cloth(to_hex(swatch.fabric.reads_as))
        pictures[picture_name(drawn)] = drawn
        told = tuple(dict.fromkeys((*swatch.fabric.warnings, _NO_PICTURE)))
        fabric = replace(swatch.fabric, warnings=told)
        return replace(swatch, picture=picture_name(drawn), fabric=fabric)

    def redone(step: Step) -> Step:
        kept = stored(step.body)
        return replace(step, body=written(replace(kept, brief=_on_swatches(kept.brief, shown))))

    plan = replace(parcel.plan, brief=_on_swatches(parcel.plan.brief, shown))
    past = parcel.past and replace(parcel.past, steps=tuple(map(redone, parcel.past.steps)))
    return Parcel(plan, pictures, past=past)


def _unzipped(data: bytes) -> _Held:
    """Return what a ZIP archive holds."""
    _check_index(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            held = dict(_files(archive))
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError, RuntimeError):
        raise PlanFileError(
            "this file is damaged or locked with a password; copy it again from where it was made"
        ) from None
    if _PLAN not in held:
        raise PlanFileError(
            f"there is no {_PLAN} in this file, so it is not a plan; choose the file that 'Keep' "
            "made"
        )
    text, index = held.pop(_PLAN), held.pop(INDEX, b"")
    parts: dict[str, dict[str, bytes]] = {"pictures": {}, "photos": {}, "history": {}}
    for name, content in held.items():
        folder, _, file = name.partition("/")
        parts[folder][file.partition(".")[0]] = content
    states = {int(number): state for number, state in parts["history"].items()}
    return _Held(text, parts["pictures"], parts["photos"], Pages(index, states))


def _check_index(data: bytes) -> None:
    """Refuse an archive with a huge list of contents before it is read (APPNOTE.TXT, 4.3.16)."""
    end = data.rfind(b"PK\x05\x06")
    whole = end >= 0 and len(data) - end >= 22
    if not whole:
        raise PlanFileError("this file is damaged or cut short; copy it again")
    size = int.from_bytes(data[end + 12 : end + 16], "little")
    if size > _MOST_INDEX or data[max(0, end - 20) : end].startswith(b"PK\x06\x07"):
        raise PlanFileError("this file holds far more than a plan and its pictures")


def _files(archive: zipfile.ZipFile) -> Iterator[tuple[str, bytes]]:
    """Yield name and content of everything in an archive that belongs to a plan's file."""
    entries = [info for info in archive.infolist() if not _is_litter(info.filename)]
    states = sum(1 for info in entries if STATE.fullmatch(info.filename))
    if states > MOST_STEPS or len(entries) - states > _MOST_PARTS + 2:
        raise PlanFileError(f"this file holds {len(entries)} files; a plan has fewer")
    if len({info.filename for info in entries}) < len(entries):
        raise PlanFileError("this file holds two files of one name; make it again")
    rooms = {kind: MOST_PAST if kind is _Kind.STATE else MOST_ALL for kind in _Kind}
    for info in entries:
        kind = _kind(info.filename)
        most = min(rooms[kind], MOST_PICTURE if kind is _Kind.PICTURE else MOST_JSON)
        with archive.open(info) as stream:
            content = stream.read(most + 1)
        if len(content) > most:
            raise PlanFileError(f"{info.filename[:20]} in this file is larger than any plan needs")
        rooms[kind] -= len(content)
        yield info.filename, content


class _Kind(Enum):
    """What a file in an archive is."""

    TEXT = auto()
    PICTURE = auto()
    STATE = auto()


def _kind(name: str) -> _Kind:
    """Return what a file of that name is; PlanFileError if it belongs to no plan."""
    if name in (_PLAN, INDEX):
        return _Kind.TEXT
    if STATE.fullmatch(name):
        return _Kind.STATE
    if _PICTURE.fullmatch(name):
        return _Kind.PICTURE
    raise PlanFileError(f"this file holds {name[:80]!r}, which is no part of a plan")


def _is_litter(name: str) -> bool:
    """Tell whether a name is what some systems add when they pack a folder."""
    return name.endswith("/") or name.startswith("__MACOSX/")

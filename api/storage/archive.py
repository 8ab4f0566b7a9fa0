"""A plan with its pictures as one file, and back.

The file is a ZIP archive with ``plan.json``, ``pictures/SHA256.jpg`` for each fabric and,
as far as there is room, ``photos/SHA256.jpg``: copies of the photos that they were cut
from, so that they can be put right there. Nothing is compressed (JPEG does not shrink)
and no time is written, so equal plans make equal bytes. What comes back is somebody
else's: sizes, names, hashes and references are checked before anything of it is kept.
"""

from __future__ import annotations

import io
import lzma
import re
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Protocol

from api.pattern.brief import MOST_FABRICS
from api.pattern.customs import MOST_JSON
from api.pattern.plan import Plan
from api.pattern.untrusted import VettingError, swatches_of
from api.photos.intake import picture_name
from palette.fabric import PhotoFault, PhotoWarning

if TYPE_CHECKING:
    from api.pattern.swatch import Swatch

MOST_PICTURE = 4_000_000
"""Bytes of one picture."""
MOST_ALL = 64_000_000
"""Bytes of everything in a file, unpacked."""
ROOM = 60_000_000
"""Bytes up to which copies of photos are put into a file: it has to be taken back as one upload."""
_MOST_INDEX = 100_000
"""Bytes of a ZIP's central directory; what this program writes takes 70,000 for 300 pictures and
their photos."""

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


def pack(body: str, pictures: Mapping[str, bytes], photos: Mapping[str, bytes]) -> bytes:
    """Return a plan's JSON text, its pictures and copies of its photos as one file."""
    out = io.BytesIO()
    room = ROOM - len(body.encode()) - sum(map(len, pictures.values()))
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr(_entry(_PLAN), body)
        for name in sorted(pictures):
            archive.writestr(_entry(f"pictures/{name}.jpg"), pictures[name])
        for name in sorted(photos.keys() - pictures.keys()):
            size = len(photos[name])
            if size <= min(room, MOST_PICTURE):
                archive.writestr(_entry(f"photos/{name}.jpg"), photos[name])
                room -= size
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


def unpack(data: bytes, vet: Callable[[bytes], Plan], check: Check) -> Parcel:
    """Open the bytes of a plan's file, or of its plan.json alone.

    A fabric whose photo is not there is one whose photo was not kept.

    Parameters
    ----------
    data : bytes
        The file.
    vet : Callable[[bytes], Plan]
        Reads a plan of unknown origin, as api.pattern.untrusted.vetted does.
    check : Check
        What looks at each picture.

    Raises
    ------
    ValueError
        If it is no plan, is damaged, or holds what has no place in it.
    """
    text, pictures, photos = _unzipped(data) if data.startswith(b"PK") else (data, {}, {})
    plan = vet(text)
    swatches = [swatch for _, swatch in swatches_of(plan.brief)]
    wanted = {swatch.picture for swatch in swatches}
    kept = {name: pictures[name] for name in sorted(wanted & pictures.keys())}
    _look(kept, check, photo=False)
    copies = {swatch.taken.photo for swatch in swatches if swatch.taken} & photos.keys()
    held = {name: photos[name] for name in sorted(copies)}
    _look(held, check, photo=True)
    there = {**held, **kept}
    plan = _on_swatches(plan, lambda swatch: _without_photo(swatch, there))
    return Parcel(plan, there, frozenset(wanted - kept.keys()))


def _look(pictures: Mapping[str, bytes], check: Check, *, photo: bool) -> None:
    kind = "photo" if photo else "picture"
    for number, (name, picture) in enumerate(pictures.items(), 1):
        if picture_name(picture) != name:
            raise PlanFileError(f"{kind} {number} in this file is damaged; copy the file again")
        try:
            check(picture, f"{number} in this file", photo=photo)
        except ValueError as fault:
            raise PlanFileError(str(fault)) from fault


def _without_photo(swatch: Swatch, there: Mapping[str, bytes]) -> Swatch:
    """Forget how a fabric was taken from a photo that is not there."""
    if swatch.taken is None or swatch.taken.photo in there:
        return swatch
    return replace(swatch, taken=None)


def _on_swatches(plan: Plan, edit: Callable[[Swatch], Swatch]) -> Plan:
    brief, lists = plan.brief, {name for name, _ in swatches_of(plan.brief)}
    changed: dict[str, Any] = {name: tuple(map(edit, getattr(brief, name))) for name in lists}
    return replace(plan, brief=replace(brief, **changed))


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

    return Parcel(_on_swatches(parcel.plan, shown), pictures)


def _unzipped(data: bytes) -> tuple[bytes, dict[str, bytes], dict[str, bytes]]:
    """Return the plan's text, the pictures and the photos of a ZIP archive."""
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
    text = held.pop(_PLAN)
    parts: dict[str, dict[str, bytes]] = {"pictures": {}, "photos": {}}
    for name, picture in held.items():
        folder, _, file = name.partition("/")
        parts[folder][file.removesuffix(".jpg")] = picture
    return text, parts["pictures"], parts["photos"]


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
    if len(entries) > 2 * MOST_FABRICS + 1:
        raise PlanFileError(f"this file holds {len(entries)} files; a plan has fewer")
    if len({info.filename for info in entries}) < len(entries):
        raise PlanFileError("this file holds two files of one name; make it again")
    room = MOST_ALL
    for info in entries:
        if info.filename != _PLAN and not _PICTURE.fullmatch(info.filename):
            raise PlanFileError(
                f"this file holds {info.filename[:80]!r}, which is no part of a plan"
            )
        most = min(room, MOST_JSON if info.filename == _PLAN else MOST_PICTURE)
        with archive.open(info) as stream:
            content = stream.read(most + 1)
        if len(content) > most:
            raise PlanFileError(f"{info.filename[:20]} in this file is larger than any plan needs")
        room -= len(content)
        yield info.filename, content


def _is_litter(name: str) -> bool:
    """Tell whether a name is what some systems add when they pack a folder."""
    return name.endswith("/") or name.startswith("__MACOSX/")

"""A plan with its pictures as one file, and back.

The file is a ZIP archive with ``plan.json`` and ``pictures/SHA256.jpg``. Nothing
is compressed (JPEG does not shrink) and no time is written, so equal plans make
equal bytes. What comes back is somebody else's: sizes, names, hashes and
references are checked before anything of it is kept.
"""

from __future__ import annotations

import io
import lzma
import re
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

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
_MOST_INDEX = 100_000
"""Bytes of a ZIP's central directory; what this program writes takes 30,000 for 300 pictures."""

_PLAN = "plan.json"
_PICTURE = re.compile(r"pictures/([0-9a-f]{64})\.jpg")
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
    """Its pictures by name."""
    missing: frozenset[str] = frozenset()
    """Names of pictures that it lacks."""


def pack(body: str, pictures: Mapping[str, bytes]) -> bytes:
    """Return a plan's JSON text and its pictures as one file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr(_entry(_PLAN), body)
        for name in sorted(pictures):
            archive.writestr(_entry(f"pictures/{name}.jpg"), pictures[name])
    return out.getvalue()


def _entry(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _THEN)
    info.create_system = 3
    info.external_attr = 0o644 << 16
    return info


def unpack(
    data: bytes, vet: Callable[[bytes], Plan], check: Callable[[bytes, str], None]
) -> Parcel:
    """Open the bytes of a plan's file, or of its plan.json alone.

    Parameters
    ----------
    data : bytes
        The file.
    vet : Callable[[bytes], Plan]
        Reads a plan of unknown origin, as api.pattern.untrusted.vetted does.
    check : Callable[[bytes, str], None]
        Makes sure that bytes are a harmless picture, given a name to speak of them; raises
        ValueError with a sentence.

    Raises
    ------
    ValueError
        If it is no plan, is damaged, or holds what has no place in it.
    """
    text, pictures = _unzipped(data) if data.startswith(b"PK") else (data, {})
    plan = vet(text)
    wanted = {swatch.picture for _, swatch in swatches_of(plan.brief)}
    kept = {name: pictures[name] for name in sorted(wanted & pictures.keys())}
    for number, (name, picture) in enumerate(kept.items(), 1):
        if picture_name(picture) != name:
            raise PlanFileError(f"picture {number} in this file is damaged; copy the file again")
        try:
            check(picture, f"{number} in this file")
        except ValueError as fault:
            raise PlanFileError(str(fault)) from fault
    return Parcel(plan, kept, frozenset(wanted - kept.keys()))


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

    brief, lists = parcel.plan.brief, {name for name, _ in swatches_of(parcel.plan.brief)}
    changed: dict[str, Any] = {name: tuple(map(shown, getattr(brief, name))) for name in lists}
    return Parcel(replace(parcel.plan, brief=replace(brief, **changed)), pictures)


def _unzipped(data: bytes) -> tuple[bytes, dict[str, bytes]]:
    """Return the plan's text and the pictures of a ZIP archive."""
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
    return text, {name[9:73]: picture for name, picture in held.items()}


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
    if len(entries) > MOST_FABRICS + 1:
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

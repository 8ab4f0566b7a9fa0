"""What the boxes of a HEIC or AVIF file tell: its kind, and what its colours are.

Layout: ISO/IEC 14496-12 (boxes, 'meta', 'pitm') and 23008-12 ('iprp', 'ipco',
'ipma', 'colr').
"""

from __future__ import annotations

import struct
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

_HEIC = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"}
_AVIF = {b"avif", b"avis"}
_MOST_BOXES = 4000


class CodePoints(NamedTuple):
    """Numbers that tell what colours are (ITU-T H.273)."""

    primaries: int
    transfer: int


def is_avif(data: bytes) -> bool:
    """Whether bytes begin as an AVIF does."""
    return bool(_brands(data) & _AVIF)


def is_heic(data: bytes) -> bool:
    """Whether bytes begin as a HEIC photo does, or one of a kind that may be one."""
    brands = _brands(data)
    return bool(brands & _HEIC) or (bool(brands & {b"mif1", b"msf1"}) and not brands & _AVIF)


def code_points(data: bytes) -> CodePoints | None:
    """Read the 'nclx' colour information of the picture that is shown first; None without one."""
    try:
        return _code_points(data)
    except (struct.error, LookupError, ValueError):
        return None


def _brands(data: bytes) -> set[bytes]:
    if data[4:8] != b"ftyp":
        return set()
    size = int.from_bytes(data[:4], "big")
    others = data[16 : min(size, 256)]
    return {data[8:12], *(others[at : at + 4] for at in range(0, len(others), 4))}


def _code_points(data: bytes) -> CodePoints | None:
    meta = _one(data, b"meta", 0, len(data))
    inner = meta[0] + 4, meta[1]
    properties = _one(data, b"iprp", *inner)
    shelf = list(_boxes(data, *_one(data, b"ipco", *properties)))
    first = _first_item(data, _one(data, b"pitm", *inner)[0])
    for number in _belonging(data, _one(data, b"ipma", *properties)[0], first):
        kind, start, _ = shelf[number - 1]
        if kind == b"colr" and data[start : start + 4] == b"nclx":
            return CodePoints(*struct.unpack_from(">HH", data, start + 4))
    return None


def _boxes(data: bytes, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Yield kind, start and end of what is in each box."""
    for _ in range(_MOST_BOXES):
        if start + 8 > end:
            return
        size, kind = struct.unpack_from(">I4s", data, start)
        head = 8
        if size == 1:
            (size,) = struct.unpack_from(">Q", data, start + 8)
            head = 16
        stop = end if size == 0 else min(start + size, end)
        if stop < start + head:
            return
        yield kind, start + head, stop
        start = stop


def _one(data: bytes, kind: bytes, start: int, end: int) -> tuple[int, int]:
    for found, first, last in _boxes(data, start, end):
        if found == kind:
            return first, last
    raise LookupError(f"there is no box {kind!r}")


def _first_item(data: bytes, at: int) -> int:
    """Return the number of the item in a 'pitm' box."""
    number: int = struct.unpack_from(">I" if data[at] else ">H", data, at + 4)[0]
    return number


def _belonging(data: bytes, at: int, item: int) -> list[int]:
    """Return the numbers, from 1, of the properties that an 'ipma' box gives an item."""
    wide_items, wide_numbers = data[at] >= 1, data[at + 3] & 1
    (count,) = struct.unpack_from(">I", data, at + 4)
    at += 8
    for _ in range(min(count, _MOST_BOXES)):
        (number,) = struct.unpack_from(">I" if wide_items else ">H", data, at)
        at += 4 if wide_items else 2
        many, step = data[at], 2 if wide_numbers else 1
        at += 1
        kept = data[at : at + many * step]
        at += many * step
        if number == item:
            values = [kept[k : k + step] for k in range(0, len(kept), step)]
            # The highest bit says that a property is essential.
            return [int.from_bytes(v, "big") & (0x7FFF if wide_numbers else 0x7F) for v in values]
    return []

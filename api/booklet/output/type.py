"""The typeface of the pages, unpacked from its web form.

WOFF 1.0 (W3C Recommendation, 2012) is the font's own tables, each deflated;
the typesetter reads them as plain OpenType.
"""

from __future__ import annotations

import struct
import zlib
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_HEADER = struct.Struct(">4s4sIH")
_ENTRY = struct.Struct(">4s4I")
_FIRST = 44
"""Bytes before the first entry of the directory."""


@lru_cache(maxsize=1)
def fonts() -> dict[str, bytes]:
    """Return the OpenType files of the typeface by file name."""
    folder = resources.files("api.drawing") / "type"
    files = [file for file in folder.iterdir() if file.name.endswith(".woff")]
    return {file.name.replace(".woff", ".otf"): opentype(file.read_bytes()) for file in files}


def opentype(woff: bytes) -> bytes:
    """Unpack a WOFF 1.0 file.

    Raises
    ------
    ValueError
        If it is none.
    """
    signature, flavour, _, count = _HEADER.unpack_from(woff)
    if signature != b"wOFF":
        raise ValueError("this is not a WOFF 1.0 font")
    power = 1 << (count.bit_length() - 1)
    search = 16 * power
    head = struct.pack(">4s4H", flavour, count, search, power.bit_length() - 1, 16 * count - search)
    offset = len(head) + 16 * count
    entries, tables = [], []
    for tag, check, data in _tables(woff, count):
        entries.append(struct.pack(">4s3I", tag, check, offset, len(data)))
        tables.append(data + b"\0" * (-len(data) % 4))
        offset += len(tables[-1])
    return b"".join((head, *entries, *tables))


def _tables(woff: bytes, count: int) -> Iterator[tuple[bytes, int, bytes]]:
    for number in range(count):
        tag, start, packed, length, check = _ENTRY.unpack_from(woff, _FIRST + 20 * number)
        data = woff[start : start + packed]
        yield tag, check, zlib.decompress(data) if packed < length else data

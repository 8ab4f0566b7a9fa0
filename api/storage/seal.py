"""A state of a plan as it is kept: its text made small, and behind it a seal on all of its row.

SQLite notices that a page does not hang together, not that a letter is another: 'Moss' turns into
'Moms' unseen. The seal is the CRC-32 of what stands beside the text, which has a sum of its own
(RFC 1950). Rows of earlier versions have none; what reads them sees nothing behind the text.
"""

from __future__ import annotations

import zlib
from typing import NamedTuple


class Row(NamedTuple):
    """A row of the table of revisions."""

    plan: str
    number: int
    made_at: str
    what: str
    title: str
    body: bytes


def sealed(row: Row) -> Row:
    """Return a row, whose body is a text, with that made small and sealed."""
    return row._replace(body=zlib.compress(row.body) + _seal(row))


def unsealed(row: Row) -> str:
    """Return the text that is kept in a row.

    Raises
    ------
    ValueError
        If anything in the row is not what was kept; the message says how that was noticed.
    """
    reader = zlib.decompressobj()
    try:
        text = reader.decompress(row.body).decode()
    except (zlib.error, TypeError) as fault:
        raise ValueError(str(fault)) from fault
    if not reader.eof:
        raise ValueError("it is cut short")
    if reader.unused_data not in (b"", _seal(row)):
        raise ValueError("its seal is broken")
    return text


def _seal(row: Row) -> bytes:
    told = "\0".join(map(str, (row.plan, row.number, row.made_at, row.what, row.title)))
    return zlib.crc32(told.encode()).to_bytes(4, "big")

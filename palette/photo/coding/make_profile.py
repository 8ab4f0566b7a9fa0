"""An ICC profile of three primaries and a curve.

What a file says of its colours without a profile is put into one, so that all
colours go one way from there. Layout: ICC.1:2022, 7.2, 7.3, 10.6 and 10.31.
"""

from __future__ import annotations

import struct
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from palette.colour import Floats
    from palette.photo.coding.code_points import Point, Primaries

_D50 = (63190, 65536, 54061)
"""X, Y and Z of the white of all profiles, in 65536ths (7.2.16)."""


def make_profile(primaries: Primaries, curve: Floats) -> bytes:
    """Make a profile.

    Parameters
    ----------
    primaries : Primaries
        Chromaticities of red, green, blue and white.
    curve : Floats
        Light of each of the 256 values, 0 to 1, shape (256,).

    Raises
    ------
    ValueError
        If the primaries make no white, as where two are the same.
    """
    points = np.clip(np.rint(65535 * curve), 0, 65535).astype(int)
    shape = b"curv" + bytes(4) + struct.pack(f">I{len(points)}H", len(points), *points)
    columns = _columns(primaries)
    tags = [(name, _xyz(column)) for name, column in zip(_COLORANTS, columns, strict=True)]
    tags.append((b"wtpt", _xyz(np.array(_D50) / 65536)))
    tags += [(name, shape) for name in (b"rTRC", b"gTRC", b"bTRC")]
    return _laid_out(tags)


_COLORANTS = (b"rXYZ", b"gXYZ", b"bXYZ")


def _columns(primaries: Primaries) -> list[Floats]:
    """Return XYZ of full red, green and blue, adapted to D50 by Bradford (annex E)."""
    from colormath.chromatic_adaptation import apply_chromatic_adaptation

    *corners, white = (_unit(point) for point in primaries)
    try:
        strengths = np.linalg.solve(np.stack(corners, axis=1), white)
    except np.linalg.LinAlgError:
        raise ValueError(f"the primaries {primaries} make no white") from None
    d50 = np.array(_D50) / 65536
    return [
        np.array(apply_chromatic_adaptation(*(corner * strength), white, d50, "bradford"))
        for corner, strength in zip(corners, strengths, strict=True)
    ]


def _unit(point: Point) -> Floats:
    """Return XYZ of a chromaticity; Y is 1, but for a primary without any."""
    x, y = point
    return np.array([x, y, 1 - x - y]) / (y or 1.0)


def _xyz(values: Floats) -> bytes:
    return b"XYZ " + bytes(4) + struct.pack(">3i", *(round(65536 * float(v)) for v in values))


def _laid_out(tags: list[tuple[bytes, bytes]]) -> bytes:
    start = 132 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, data in tags:
        table += struct.pack(">4sII", name, start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    size = 128 + len(table) + len(body)
    header = struct.pack(">I4sI4s4s4s", size, bytes(4), 0x04400000, b"mntr", b"RGB ", b"XYZ ")
    header += bytes(12) + b"acsp" + bytes(28) + struct.pack(">3i", *_D50)
    return header.ljust(128, b"\0") + table + body

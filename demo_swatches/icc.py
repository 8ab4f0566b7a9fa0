"""An ICC profile for Display P3, built byte by byte.

The primaries and the white are those of SMPTE EG 432-1 with D65, the curve is that of
IEC 61966-2-1, the layout of the file that of ICC.1:2001-04 (version 2 profiles).
"""

from __future__ import annotations

import struct
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_D50 = np.array([0.9642, 1.0, 0.8249])
_D65 = np.array([0.3127, 0.3290])
_PRIMARIES = np.array([[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]])
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
_SRGB_CURVE_POINTS = 1024


def _xyz(xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the XYZ of a chromaticity at Y = 1."""
    return np.array([xy[0] / xy[1], 1.0, (1 - xy[0] - xy[1]) / xy[1]])


def p3_to_d50() -> NDArray[np.float64]:
    """Return the XYZ of red, green and blue as columns, adapted from D65 to D50."""
    white = _xyz(_D65)
    columns = np.stack([_xyz(xy) for xy in _PRIMARIES], axis=1)
    to_d65 = columns * np.linalg.solve(columns, white)
    gains = (_BRADFORD @ _D50) / (_BRADFORD @ white)
    return np.linalg.inv(_BRADFORD) @ np.diag(gains) @ _BRADFORD @ to_d65


def _fixed(values: NDArray[np.float64]) -> bytes:
    """Return numbers as s15Fixed16Number."""
    return b"".join(struct.pack(">i", round(v * 65536)) for v in values)


def _xyz_tag(xyz: NDArray[np.float64]) -> bytes:
    return b"XYZ \0\0\0\0" + _fixed(xyz)


def _curve_tag() -> bytes:
    """Return the sRGB curve as a table, as version 2 has no formula for it."""
    code = np.linspace(0, 1, _SRGB_CURVE_POINTS)
    light = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    table = np.round(light * 65535).astype(">u2").tobytes()
    return b"curv\0\0\0\0" + struct.pack(">I", _SRGB_CURVE_POINTS) + table


def _description_tag(text: str) -> bytes:
    """Return a textDescriptionType, its Unicode and script parts left empty."""
    plain = text.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(plain)) + plain + bytes(8) + bytes(70)


def _text_tag(text: str) -> bytes:
    return b"text\0\0\0\0" + text.encode("ascii") + b"\0"


def display_p3() -> bytes:
    """Return the whole profile."""
    red, green, blue = p3_to_d50().T
    curve = _curve_tag()
    return _assemble(
        {
            b"desc": _description_tag("Display P3"),
            b"cprt": _text_tag("No copyright, use freely"),
            b"wtpt": _xyz_tag(_D50),
            b"rXYZ": _xyz_tag(red),
            b"gXYZ": _xyz_tag(green),
            b"bXYZ": _xyz_tag(blue),
            b"rTRC": curve,
            b"gTRC": curve,
            b"bTRC": curve,
        }
    )


def _assemble(tags: dict[bytes, bytes]) -> bytes:
    """Put header, tag table and tags together; equal tags are stored once."""
    start = 128 + 4 + 12 * len(tags)
    table, body, places = struct.pack(">I", len(tags)), b"", {}
    for name, data in tags.items():
        if data not in places:
            places[data] = start + len(body)
            body += data + bytes(-len(data) % 4)
        table += name + struct.pack(">II", places[data], len(data))
    return _header(start + len(body)) + table + body


def _header(size: int) -> bytes:
    """Return the 128 bytes that open a version 2.1 display profile."""
    date = struct.pack(">6H", 2025, 9, 1, 0, 0, 0)
    return (
        struct.pack(">I4sI", size, bytes(4), 0x02100000)
        + b"mntrRGB XYZ "
        + date
        + b"acsp"
        + bytes(28)
        + _fixed(_D50)
        + bytes(48)
    )

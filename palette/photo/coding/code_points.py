"""What the code points of ITU-T H.273 mean: three primaries, a white, a curve.

PNG (cICP chunk), HEIC and AVIF (colour information box 'nclx') say by two
numbers what their colours are. H.273 (07/2024), table 2 has the primaries,
table 3 the transfer characteristics, here as decoded to light. Where table 3
gives what a camera does, its inverse is taken, as PNG (third edition) does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, light_to_srgb, srgb_to_light

if TYPE_CHECKING:
    from collections.abc import Callable


Point = tuple[float, float]
"""x and y of CIE 1931."""
Primaries = tuple[Point, Point, Point, Point]
"""Of red, green, blue and white."""

D65: Point = (0.3127, 0.3290)
_C: Point = (0.310, 0.316)
UNSPECIFIED = 2
BT709: Primaries = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06), D65)
_SMPTE170: Primaries = ((0.630, 0.340), (0.310, 0.595), (0.155, 0.070), D65)

_PRIMARIES: dict[int, Primaries] = {
    1: BT709,
    UNSPECIFIED: BT709,
    4: ((0.67, 0.33), (0.21, 0.71), (0.14, 0.08), _C),
    5: ((0.64, 0.33), (0.29, 0.60), (0.15, 0.06), D65),
    6: _SMPTE170,
    7: _SMPTE170,
    8: ((0.681, 0.319), (0.243, 0.692), (0.145, 0.049), _C),
    9: ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046), D65),
    10: ((1.0, 0.0), (0.0, 1.0), (0.0, 0.0), (1 / 3, 1 / 3)),
    11: ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), (0.314, 0.351)),
    12: ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), D65),
    22: ((0.630, 0.340), (0.295, 0.605), (0.155, 0.077), D65),
}
"""Table 2; what is not specified is taken to be as on screens."""

_PQ, _HLG = 16, 18
_REFERENCE_WHITE = 203.0 / 10_000
"""White of a picture, part of the most that PQ can say (ITU-R BT.2408, 2.1)."""
_HLG_WHITE, _HLG_GAMMA = 0.75, 1.2
"""The same in HLG as a signal, and the power from scene to screen (ITU-R BT.2100, table 5)."""


@dataclass(frozen=True, slots=True, eq=False)
class Coded:
    """What two code points say."""

    primaries: Primaries
    """Red, green, blue and white."""
    curve: Floats
    """Light of each of the 256 values, shape (256,); white at 1."""
    recoded: Floats | None = None
    """Of high dynamic range: what each value becomes first, 0 to 1, shape (256,). All that is
    brighter than white becomes white, and `curve` is that of what comes out."""


def coded(primaries: int, transfer: int) -> Coded | None:
    """Look two code points up; None where one is reserved, or says nothing that shows colour."""
    points = _PRIMARIES.get(primaries)
    values = np.arange(256) / 255
    if points is None:
        return None
    if transfer in (_PQ, _HLG):
        light = _from_pq(values) if transfer == _PQ else _from_hlg(values)
        return Coded(points, srgb_to_light(values), light_to_srgb(light))
    decode = _TRANSFERS.get(transfer)
    return None if decode is None else Coded(points, np.asarray(decode(values)))


def power(gamma: float) -> Callable[[Floats], Floats]:
    """Return a curve that is a plain power."""
    return lambda values: np.asarray(values**gamma)


def _from_camera(values: Floats) -> Floats:
    """Undo BT.709 and BT.2020 (transfer 1, 6, 14 and 15)."""
    alpha, beta = 1.09929682680944, 0.018053968510807
    return np.where(values < 4.5 * beta, values / 4.5, ((values + alpha - 1) / alpha) ** (1 / 0.45))


def _from_smpte240(values: Floats) -> Floats:
    return np.where(values < 4 * 0.0228, values / 4, ((values + 0.1115) / 1.1115) ** (1 / 0.45))


def _from_pq(values: Floats) -> Floats:
    """Turn PQ (SMPTE ST 2084) into light, reference white at 1."""
    m1, m2 = 2610 / 16384, 2523 / 4096 * 128
    c1, c2, c3 = 3424 / 4096, 2413 / 4096 * 32, 2392 / 4096 * 32
    root = values ** (1 / m2)
    linear = (np.maximum(root - c1, 0) / (c2 - c3 * root)) ** (1 / m1)
    return np.asarray(linear / _REFERENCE_WHITE)


def _from_hlg(values: Floats) -> Floats:
    """Turn hybrid log-gamma (ARIB STD-B67) into light on a screen, reference white at 1."""
    a, b, c = 0.17883277, 0.28466892, 0.55991073

    def scene(signal: Floats) -> Floats:
        return np.where(signal <= 0.5, signal**2 / 3, (np.exp((signal - c) / a) + b) / 12)

    return np.asarray((scene(values) / scene(np.array(_HLG_WHITE))) ** _HLG_GAMMA)


_TRANSFERS: dict[int, Callable[[Floats], Floats]] = {
    1: _from_camera,
    UNSPECIFIED: srgb_to_light,
    4: power(2.2),
    5: power(2.8),
    6: _from_camera,
    7: _from_smpte240,
    8: power(1.0),
    11: _from_camera,
    12: _from_camera,
    13: srgb_to_light,
    14: _from_camera,
    15: _from_camera,
    17: lambda values: np.minimum(52.37 / 48 * values**2.6, 1.0),
}
"""Table 3, without those for high dynamic range and the logarithmic ones."""

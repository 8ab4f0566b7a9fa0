"""Fixtures: the reference library of colour, and ICC profiles built from it."""

from __future__ import annotations

import struct
import warnings
from typing import TYPE_CHECKING

import numpy as np
import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType


@pytest.fixture(scope="session")
def colour_science() -> ModuleType:
    """Return colour-science, which warns on import that it cannot draw diagrams."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message='"Matplotlib" related API features')
        import colour
    return colour


@pytest.fixture(scope="session")
def make_profile(colour_science: ModuleType) -> Callable[..., bytes]:
    """Return a maker of ICC profiles (ICC.1:2022) for RGB spaces colour-science knows.

    'Display P3' has the primaries of SMPTE RP 431-2:2011 with white D65;
    'Adobe RGB (1998)' those of its specification of 2005; both in colour-science.
    """

    def make(space: str, curve: bytes) -> bytes:
        to_xyz = colour_science.RGB_COLOURSPACES[space].matrix_RGB_to_XYZ
        white = to_xyz.sum(axis=1)
        d50 = np.array([0.9642, 1.0, 0.8249])
        adapt = colour_science.adaptation.matrix_chromatic_adaptation_VonKries(
            white, d50, transform="Bradford"
        )
        columns = (adapt @ to_xyz).T
        tags = [
            *zip((b"rXYZ", b"gXYZ", b"bXYZ"), map(_xyz, columns), strict=True),
            (b"wtpt", _xyz(d50)),
            *((name, curve) for name in (b"rTRC", b"gTRC", b"bTRC")),
        ]
        return _profile(tags)

    return make


@pytest.fixture(scope="session")
def display_p3(make_profile: Callable[..., bytes]) -> bytes:
    """Return a Display P3 profile: the curve of IEC 61966-2-1 as a parametric curve of type 3."""
    return make_profile(
        "Display P3", parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    )


def parametric(kind: int, *numbers: float) -> bytes:
    """Make a parametricCurveType (ICC.1:2022, 10.18)."""
    fixed = (round(65536 * number) for number in numbers)
    return b"para" + bytes(4) + struct.pack(f">HH{len(numbers)}i", kind, 0, *fixed)


def sampled(*points: int) -> bytes:
    """Make a curveType (ICC.1:2022, 10.6); a single number is a gamma in 256ths."""
    return b"curv" + bytes(4) + struct.pack(f">I{len(points)}H", len(points), *points)


def _xyz(values: np.ndarray) -> bytes:
    return b"XYZ " + bytes(4) + struct.pack(">3i", *(round(65536 * float(v)) for v in values))


def _profile(tags: list[tuple[bytes, bytes]]) -> bytes:
    start = 132 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, data in tags:
        table += struct.pack(">4sII", name, start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    size = 128 + len(table) + len(body)
    header = struct.pack(">I4sI4s4s4s", size, bytes(4), 0x04400000, b"mntr", b"RGB ", b"XYZ ")
    header += bytes(12) + b"acsp" + bytes(28) + struct.pack(">3i", 63190, 65536, 54061)
    return header.ljust(128, b"\0") + table + body

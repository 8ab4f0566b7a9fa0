"""Make the photos of the sample bundle: `python demo_swatches/make_swatches.py [stem ...]`."""

from __future__ import annotations

import sys
from pathlib import Path

# Run as a script, only the folder of this file would be importable, not the package it is.
sys.path.append(str(Path(__file__).resolve().parent.parent))

from typing import TYPE_CHECKING

from PIL import Image

from demo_swatches.bundle import SWATCHES, Swatch
from demo_swatches.camera import photograph
from demo_swatches.icc import display_p3

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

HERE = Path(__file__).resolve().parent
"""Where the photos go."""
UPSIDE_DOWN = "pear-branch"
"""Stored wrong way up, with an EXIF orientation that says so."""
WIDE_GAMUT = "marigold-heads"
"""Its numbers are meant in Display P3, and a profile says so."""
WITH_PLACE = "apricot-petals"
"""Carries GPS coordinates, invented: far out on the open sea."""

_ORIENTATION, _GPS = 0x0112, 0x8825
_TURNED_HALF = 3
_PLACE = {1: "N", 2: (44.0, 30.0, 0.0), 3: "W", 4: (31.0, 15.0, 0.0)}


def upright(swatch: Swatch) -> NDArray[np.uint8]:
    """Return the picture as it is meant to be seen."""
    return photograph(swatch.cloth(), swatch.shot)


def save(swatch: Swatch, folder: Path) -> Path:
    """Make one photo and write it into the folder."""
    picture, exif, extra = upright(swatch), Image.Exif(), {}
    if swatch.stem == UPSIDE_DOWN:
        picture, exif[_ORIENTATION] = picture[::-1, ::-1], _TURNED_HALF
    if swatch.stem == WITH_PLACE:
        exif[_GPS] = _PLACE
    if swatch.stem == WIDE_GAMUT:
        extra["icc_profile"] = display_p3()
    file = folder / f"{swatch.stem}.jpg"
    Image.fromarray(picture).save(file, quality=85, optimize=True, exif=exif, **extra)
    return file


def main(stems: list[str]) -> None:
    """Make the photos that are named, or all of them."""
    for swatch in SWATCHES:
        if not stems or swatch.stem in stems:
            print(save(swatch, HERE).name)


if __name__ == "__main__":
    main(sys.argv[1:])

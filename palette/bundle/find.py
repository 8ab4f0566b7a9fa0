"""Find the fabrics in one photo of a bundle."""

from __future__ import annotations

from palette.bundle.found import Found, Kind, named
from palette.bundle.spread import spread_out
from palette.bundle.stack import stack
from palette.bundle.whole import grid, whole
from palette.bundle.table import look_at
from palette.photo import Photo


def find(photo: Photo, kind: Kind, *, rows: int = 0, columns: int = 0, count: int = 0) -> Found:
    """Find the fabrics in a photo of a bundle."""
    look = look_at(photo)
    if kind=="spread":
        quads = spread_out(look)
    elif kind=="grid":
        quads=grid(whole(look),rows,columns)
    else:
        quads=stack(look,whole(look),count)
    return Found(kind, *photo.pixels.size, pieces=named(quads))

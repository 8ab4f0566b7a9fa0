"""The whole way from one photo of a bundle to a reading of each fabric.

It is gone in steps, so that people can look and correct in between: propose
pieces, correct them as often as needed, then read those that are right. Between
the steps only a cleaned copy of the photo and the pieces are handed on.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any
from zlib import crc32

from PIL import Image

from palette.bundle.crop import cut
from palette.bundle.find import Lie, divided, find, tapped
from palette.bundle.result import BundleFault, BundleWarning, Found, joined, moved, removed, split
from palette.bundle.warnings import notes
from palette.photo.daylight import White, in_daylight
from palette.photo.open import Photo, PhotoError, open_photo, shrunk
from palette.photo.profile import in_srgb
from palette.photo.read import Reading, Source, read_photo

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

_PIXELS = 3_900_000
"""Pixels of the cleaned copy; few enough that it is always opened at its full size."""
_CROP = 160
"""Longer side of the small picture of a piece."""
_ASSUMED = BundleWarning(BundleFault.COLOURS_ASSUMED)
"""What the file did not say; no correction by hand changes it."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What was found in the photo of a bundle, to be looked at and corrected."""

    found: Found
    """The pieces."""
    crops: tuple[bytes, ...]
    """A small JPEG of each."""


def cleaned(photo: Photo, pixels: int = _PIXELS) -> bytes:
    """Make the copy of a photo that is handed on: a JPEG with its profile and no other metadata.

    The profile stays, because it tells the vivid colours that sRGB has no numbers for. What is
    see-through in the photo is white in it.
    """
    width, height = photo.pixels.size
    part = min(1.0, (pixels / (width * height)) ** 0.5)
    small = shrunk(photo, int(part * max(width, height)))
    image = small.pixels
    if small.mask is not None:
        image = Image.composite(image, Image.new("RGB", image.size, "white"), small.mask)
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    # All of its colour: a fine print reads wrong where the colours of its dots are averaged.
    return _jpeg(bare, quality=93, subsampling=0, icc_profile=photo.profile)


def propose(
    data: bytes | Photo, name: str, lie: Lie, *, card: bool = False
) -> tuple[bytes, Proposal]:
    """Find the fabrics in the photo of a bundle.

    Parameters
    ----------
    data, name : bytes or Photo, str
        The file, or what was opened of it, and what it is called.
    lie, card : Lie, bool
        As for palette.bundle.find.find.

    Returns
    -------
    bytes, Proposal
        The cleaned copy of the photo, and what was found in it.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used.
    """
    original = data if isinstance(data, Photo) else open_photo(data, name)
    picture = cleaned(original)
    proposal = looked(picture, lie, card=card)
    if original.assumed:
        told = (_ASSUMED, *proposal.found.warnings)
        proposal = replace(proposal, found=replace(proposal.found, warnings=told))
    return picture, proposal


def looked(picture: bytes, lie: Lie, *, card: bool = False) -> Proposal:
    """Find the fabrics in the cleaned copy of a photo.

    Parameters
    ----------
    picture : bytes
        The copy.
    lie, card : Lie, bool
        As for palette.bundle.find.find.
    """
    photo = open_photo(picture, "the photo of the bundle")
    return _shown(photo, find(photo, lie, card=card))


def corrected(picture: bytes, found: Found, do: str, wish: Mapping[str, Any]) -> Proposal:
    """Correct what was found by hand.

    Parameters
    ----------
    picture : bytes
        The cleaned copy of the photo.
    found : Found
        The pieces so far.
    do, wish : str, Mapping[str, Any]
        Name and arguments of the correction: 'move' (number, corner, to), 'split' (number, across,
        at), 'join' (first, second), 'remove' (number), 'tap' (at) or 'divide' (outline, lie).

    Raises
    ------
    PhotoError
        If the correction is not possible; the message says why.
    """
    photo = open_photo(picture, "the photo of the bundle")
    here = replace(found, width=photo.pixels.width, height=photo.pixels.height)
    try:
        changed = _CORRECTIONS[do](here, photo, **wish)
    except ValueError as fault:
        raise PhotoError(str(fault)) from fault
    kept = (_ASSUMED,) if _ASSUMED in found.warnings else ()
    return _shown(photo, replace(changed, warnings=(*kept, *notes(changed))))


def read_pieces(
    picture: bytes, found: Found, *, white: White = None, light: str = ""
) -> tuple[Reading, ...]:
    """Read every piece as a fabric of its own.

    Parameters
    ----------
    picture, found : bytes, Found
        The cleaned copy of the photo and its pieces.
    white, light : White, str
        As for palette.photo.read.read; the white counts for all of them.
    """
    photo = open_photo(picture, "the photo of the bundle")
    lit = in_daylight(photo, white)
    source = Source(f"{crc32(picture):08x}", light, lit.reference)
    return tuple(
        read_photo(
            cut(photo, found, number),
            id="new",
            name=piece.name,
            source=source,
            warnings=lit.warnings,
        )
        for number, piece in enumerate(found.pieces)
    )


_CORRECTIONS: dict[str, Callable[..., Found]] = {
    "move": lambda found, _, **wish: moved(found, **wish),
    "split": lambda found, _, **wish: split(found, **wish),
    "join": lambda found, _, **wish: joined(found, **wish),
    "remove": lambda found, _, **wish: removed(found, **wish),
    "tap": tapped,
    "divide": divided,
}


def _shown(photo: Photo, found: Found) -> Proposal:
    crops = (shrunk(cut(photo, found, number), _CROP) for number in range(len(found.pieces)))
    return Proposal(found, tuple(_jpeg(_in_srgb(crop), quality=80) for crop in crops))


def _in_srgb(photo: Photo) -> Image.Image:
    if photo.profile is None:
        return photo.pixels
    return in_srgb(photo.pixels, photo.profile) or photo.pixels


def _jpeg(image: Image.Image, **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", **options)
    return out.getvalue()

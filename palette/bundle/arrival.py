"""The one way in for every photo: one fabric is read, several are shown to be looked at."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from palette.bundle.find import Lie
from palette.bundle.pipeline import Proposal, cleaned, propose
from palette.bundle.result import BundleFault, BundleWarning
from palette.bundle.several import are_several, may_be_several
from palette.photo.open import open_photo
from palette.photo.read import Reading, read

if TYPE_CHECKING:
    from palette.photo.open import Photo

_PIXELS = 2_000_000
"""Pixels of the copy that is kept of a photo of one fabric."""
_CARD = BundleWarning(BundleFault.CARD)


@dataclass(frozen=True, slots=True)
class Arrival:
    """What a photo turned out to show: one fabric or several."""

    copy: bytes
    """The cleaned copy of the photo, from which it can be read again."""
    reading: Reading | None = None
    """The one fabric."""
    proposal: Proposal | None = None
    """Several fabrics, to be looked at."""


def arrive(
    data: bytes,
    *,
    id: str,  # noqa: A002 (the field's name)
    name: str,
    several: bool = True,
    **how: Any,
) -> Arrival:
    """Take in a photo, whatever it shows.

    Parameters
    ----------
    data : bytes
        The file.
    id, name : str
        What its fabric is called if it shows one.
    several : bool
        Whether it may show several fabrics; without it the whole is one.
    how : Any
        How to read it, as for palette.photo.read.read.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used, or the white in it is not;
        the message says what to do.
    """
    photo = open_photo(data, name)
    if several and not how.get("whole") and how.get("corners") is None:
        found = _several(photo, name)
        if found:
            return found
    reading = read(photo, id=id, name=name, **how)
    return Arrival(cleaned(photo, _PIXELS), reading)


def _several(photo: Photo, name: str) -> Arrival | None:
    if photo.mask is not None or not may_be_several(photo):
        return None
    copy, proposal = propose(photo, name, Lie("spread"), card=True)
    if not are_several(photo, proposal.found):
        return None
    return Arrival(copy, proposal=with_any_card(proposal))


def with_any_card(proposal: Proposal) -> Proposal:
    """Say that a white card was found, if one was; nobody said that there is one."""
    told = proposal.found.warnings
    none = BundleWarning(BundleFault.NO_CARD)
    said = [each for each in told if each != none] if none in told else [*told, _CARD]
    return replace(proposal, found=replace(proposal.found, warnings=tuple(said)))

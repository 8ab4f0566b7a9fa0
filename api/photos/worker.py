"""What is done with photos and plan files in a child process: values in, values and pictures out.

Everything that crosses is plain data, checked on arrival, so that neither side
has to trust the other.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

from pydantic import TypeAdapter

from api.photos.child import Answer
from palette.photo.box import Box
from palette.photo.reference import Reference

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from palette.bundle.crop import Ruler
    from palette.bundle.pipeline import Proposal
    from palette.fabric import Fabric
    from palette.photo.daylight import White
    from palette.photo.quad import Quad
    from palette.photo.read import Reading


def do(job: str, parts: Sequence[bytes], wish: Mapping[str, Any]) -> Answer:
    """Do a job with the bytes of a photo; KeyError if there is no such job."""
    from palette.photo.open import PhotoError

    if job == "warm":
        from palette.photo import read as _warm  # noqa: F401

        return Answer({})
    try:
        return _JOBS[job](*parts, **wish)
    except PhotoError as problem:
        return Answer({"problem": str(problem)})


def _arrive(data: bytes, *, id: str, name: str, several: bool, **told: Any) -> Answer:  # noqa: A002
    from palette.bundle.arrival import arrive

    arrival = arrive(data, id=id, name=name, several=several, **_how(**told))
    if arrival.proposal is not None:
        return _proposed(arrival.proposal, arrival.copy)
    if arrival.reading is None:
        raise ValueError("a photo shows one fabric or several")
    return _told(arrival.reading, arrival.copy)


def _read(data: bytes, *, id: str, name: str, colour: str = "", **told: Any) -> Answer:  # noqa: A002
    from palette.photo.own_colour import in_own_colour
    from palette.photo.read import read

    reading = read(data, id=id, name=name, **_how(**told))
    return _told(in_own_colour(reading, colour) if colour else reading)


def _how(
    *,
    white: str = "none",
    otherwise: Any = None,
    corners: Any = None,
    paper: str = "office",
    **rest: Any,
) -> dict[str, Any]:
    """Return how a photo is to be read, as palette.photo.read.read takes it."""
    from palette.photo.paper_kind import PAPERS, PaperKind

    return {
        "white": place(white),
        "otherwise": references().validate_python(otherwise),
        "corners": _quad(corners),
        "paper": PAPERS[PaperKind(paper)],
        **rest,
    }


def _told(reading: Reading, *copies: bytes) -> Answer:
    values = {
        "fabric": fabrics().dump_python(reading.fabric, mode="json"),
        "reference": references().dump_python(reading.reference, mode="json"),
        "across": reading.across,
        "corners": reading.corners and reading.corners.corners,
    }
    return Answer(values, (reading.picture, *copies))


def _quad(corners: Any) -> Quad | None:
    from palette.photo.open import PhotoError
    from palette.photo.quad import Quad

    try:
        return None if corners is None else Quad.given(corners)
    except ValueError as fault:
        raise PhotoError(str(fault)) from fault


def place(white: str) -> Box | Literal["auto"] | None:
    """Read what colours are corrected by: 'none', 'auto', or a place in the photo.

    Raises
    ------
    ValueError
        If it is nothing of that.
    """
    if white == "none":
        return None
    return "auto" if white == "auto" else Box.parse(white)


def _look(data: bytes, *, lie: Mapping[str, Any]) -> Answer:
    from palette.bundle.arrival import with_any_card
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import looked

    return _proposed(with_any_card(looked(data, Lie(**lie), card=True)))


def _correct(data: bytes, *, found: Any, do: str, wish: dict[str, Any]) -> Answer:
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import corrected
    from palette.photo.open import PhotoError
    from palette.photo.quad import Quad

    try:
        if do == "divide":
            wish = {"outline": Quad.given(wish["outline"]), "lie": Lie(**wish["lie"])}
        return _proposed(corrected(data, bundles().validate_python(found), do, wish))
    except ValueError as fault:
        # Such as corners that enclose nothing: it says what is wrong.
        raise PhotoError(str(fault)) from fault


def _pieces(data: bytes, *, found: Any, edge: Any, ruler: Any, white: Any) -> Answer:
    from palette.bundle.crop import shown
    from palette.bundle.pipeline import read_pieces

    pieces = bundles().validate_python(found)
    marked = _place(white)
    length = _ruler(**ruler) if ruler else None
    readings = read_pieces(data, pieces, white=marked)
    widths = [shown(pieces, k, edge=edge, ruler=length) for k in range(len(readings))]
    widths = [
        width and width * reading.across for width, reading in zip(widths, readings, strict=True)
    ]
    told = [fabrics().dump_python(reading.fabric, mode="json") for reading in readings]
    return Answer({"fabrics": told, "shown": widths}, tuple(r.picture for r in readings))


def _check(data: bytes, *, name: str, photo: bool) -> Answer:
    from palette.photo.kept import check_kept

    check_kept(data, name, photo=photo)
    return Answer({})


def _vet(data: bytes) -> Answer:
    from api.pattern.stored import to_json
    from api.pattern.untrusted import VettingError, vetted

    try:
        return Answer({}, (to_json(vetted(data)).encode(),))
    except VettingError as fault:
        return Answer({"problem": str(fault)})
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError):
        # What no rule of the vetting has foreseen is still no plan that anything can be made of.
        return Answer({"problem": "the plan in this file contradicts itself"})


def _place(white: str | None) -> White:
    from palette.photo.open import PhotoError

    if white is None:
        return None
    if white == "auto":
        return "auto"
    try:
        return Box.parse(white)
    except ValueError as fault:
        raise PhotoError(str(fault)) from fault


def _ruler(start: list[float], end: list[float], inches: float) -> Ruler:
    from palette.bundle.crop import Ruler
    from palette.photo.open import PhotoError

    try:
        return Ruler((start[0], start[1]), (end[0], end[1]), inches)
    except ValueError as fault:
        raise PhotoError(str(fault)) from fault


def _proposed(proposal: Proposal, *pictures: bytes) -> Answer:
    found = bundles().dump_python(proposal.found, mode="json")
    return Answer({"found": found}, (*pictures, *proposal.crops))


_JOBS: dict[str, Callable[..., Answer]] = {
    "arrive": _arrive,
    "read": _read,
    "look": _look,
    "correct": _correct,
    "pieces": _pieces,
    "check": _check,
    "vet": _vet,
}


@lru_cache(maxsize=1)
def fabrics() -> TypeAdapter[Fabric]:
    """Return what turns fabrics into JSON and back."""
    from palette.fabric import Fabric

    return TypeAdapter(Fabric)


@lru_cache(maxsize=1)
def references() -> TypeAdapter[Reference | None]:
    """Return what turns references into JSON and back."""
    return TypeAdapter(Reference | None)


@lru_cache(maxsize=1)
def bundles() -> TypeAdapter[Any]:
    """Return what turns what was found in a bundle into JSON and back."""
    from palette.bundle.result import Found

    return TypeAdapter(Found)

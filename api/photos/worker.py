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


def _read(
    data: bytes,
    *,
    white: str = "none",
    otherwise: Any = None,
    corners: Any = None,
    paper: str = "office",
    **wish: Any,
) -> Answer:
    from palette.photo.paper_kind import PAPERS, PaperKind
    from palette.photo.read import read

    wish["paper"] = PAPERS[PaperKind(paper)]
    reference, quad = references().validate_python(otherwise), _quad(corners)
    reading = read(data, white=place(white), otherwise=reference, corners=quad, **wish)
    values = {
        "fabric": fabrics().dump_python(reading.fabric, mode="json"),
        "reference": references().dump_python(reading.reference, mode="json"),
        "across": reading.across,
        "corners": reading.corners and reading.corners.corners,
    }
    return Answer(values, (reading.picture,))


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


def _propose(data: bytes, *, name: str, lie: Mapping[str, Any], card: bool) -> Answer:
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import propose

    picture, proposal = propose(data, name, Lie(**lie), card=card)
    return _proposed(proposal, picture)


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


def _check(data: bytes, *, name: str) -> Answer:
    from palette.photo.kept import check_kept

    check_kept(data, name)
    return Answer({})


def _vet(data: bytes) -> Answer:
    from api.pattern.stored import to_json
    from api.pattern.untrusted import VettingError, vetted

    try:
        return Answer({}, (to_json(vetted(data)).encode(),))
    except VettingError as fault:
        return Answer({"problem": str(fault)})


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
    "read": _read,
    "propose": _propose,
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

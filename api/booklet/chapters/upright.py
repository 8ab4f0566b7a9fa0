"""How pieces of a print with an up are laid, so that it stands upright in every unit."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.booklet.chapters.kinds import Kind, like, one_way
from api.booklet.parts import Part, Words
from api.wording import english
from placement.cloth.cutting import Then

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source
    from placement.cloth.methods import Making

_FACE_TO_FACE = (
    "Lay the lower piece with its top away from you and the upper one, face down, with its top "
    "to the right where its line rises to the right, to the left where the line falls."
)
_LINES = {
    Then.TWO: "Of the lines for each block",
    Then.CUT_ONCE: "Lay each square with its top away from you to cut it; of the cuts in each "
    "cloth for a block",
    Then.STRIP_PAIR: "Lay its strips with their top away from you; of the slanted cuts for each "
    "block",
}
"""What is said of the lines that triangles are parted by."""


def upright(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    """Say how a one-way print is laid; nothing where no print of the units has an up."""
    fabrics = one_way(source, kind, making)
    if not fabrics:
        return
    names = english.listed(source.name(fabric) for fabric in fabrics)
    has = english.agree(len(fabrics), "has", "have")
    large = {source.fixed.get(kind.unit.roles[0]) or fabric for fabric, _ in making.made}
    upended = bool(large & set(fabrics))
    rules = " ".join(_rules(source, kind, making.then, upended=upended))
    yield Words((f"{names} {has} a print with an up. {rules}",))


def _rules(source: Source, kind: Kind, then: Then, *, upended: bool) -> Iterator[str]:
    if then is Then.CUT_TWICE:
        yield "Lay each square with its top away from you before you cut it."
        yield "Use each triangle on the side of the unit on which it lay in the square."
        return
    if then in (Then.TWO, Then.FOUR, Then.CORNERS, Then.HALVES):
        yield _FACE_TO_FACE
    if then in _LINES:
        rising, falling = _lines(source, kind)
        rises = english.agree(rising, "rises", "rise")
        falls = english.agree(falling, "falls", "fall")
        yield f"{_LINES[then]} {rising} {rises} to the right and {falling} {falls}."
    elif then is Then.FOUR:
        yield "Keep each half as it lay: of every four geese one points each way."
    elif then is Then.CORNERS and upended:
        yield "Rectangles that stand upright are for geese that point to a side."
    yield "Use each unit where its print stands upright."


def _lines(source: Source, kind: Kind) -> tuple[int, int]:
    """Return how many pairs of a block have a line that rises to the right, and that falls."""
    corners = Counter((patch.cut, patch.roles) for patch in like(source, kind))
    most = {"/": 0, "\\": 0}
    for (cut, _), count in corners.items():
        most[cut] = max(most[cut], count)
    return most["/"], most["\\"]

"""How a fabric's colour was obtained and how sure it is, in words."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from api.wording.english import listed
from palette.uncertainty import Case, case, likely

if TYPE_CHECKING:
    from collections.abc import Sequence

    from palette.fabric import Fabric

_EXAMPLE = 10.0
"""The difference that tells how sure differences are."""

_BY = {
    "none": "The colour is as photographed; no white paper was used.",
    "white": "The colour was corrected by white paper.",
    "chart": "The colour was corrected by patches of known colour.",
}

_BESIDE = (
    ((Case.ONE_PHOTO_AS_TAKEN, Case.ONE_PHOTO), "fabrics in the same photo"),
    ((Case.SAME_LIGHT_AS_TAKEN, Case.SAME_LIGHT), "fabrics in the same light"),
    ((Case.OTHER_LIGHT_AS_TAKEN, Case.OTHER_LIGHT), "fabrics in other light"),
)
"""Ways to stand beside another fabric, each with its cases, the less sure one first."""


def obtained(fabric: Fabric, others: Sequence[Fabric]) -> str:
    """Say how a colour was obtained, and how sure its differences from others are.

    Parameters
    ----------
    fabric : Fabric
        The fabric.
    others : Sequence[Fabric]
        All fabrics and backgrounds of the plan.
    """
    if not fabric.photo:
        return "The colour was given, not read from a photo, and is taken as it is."
    cases = {case(fabric, other) for other in others if other.id != fabric.id}
    worst = ((next((how for how in kind if how in cases), None), words) for kind, words in _BESIDE)
    spans = [_span(how, words) for how, words in worst if how]
    if not spans:
        return _BY[fabric.corrected]
    return f"{_BY[fabric.corrected]} A difference of {_EXAMPLE:g} may truly be {listed(spans)}."


@lru_cache(maxsize=16)
def _span(how: Case, words: str) -> str:
    low, high = likely(_EXAMPLE, how)
    return f"{low:.0f} to {high:.0f} beside {words}"

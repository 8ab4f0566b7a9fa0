"""What merges for colour-blind eyes is told, and nothing where nothing does."""

from __future__ import annotations

from collections.abc import Callable

from api.pattern.merging import merging
from api.pattern.plan import Plan
from api.wording.eyes import colour_blind, seen_by_eyes
from palette.eyes import Eyes
from tests.api.wording.conftest import solid

Looked = Callable[..., Plan]

# A dull red and a dull green of one lightness, as they are confused by most (Machado et al. 2009).
BRICK, OLIVE, NAVY = (
    solid("Brick", 50, 22, 30),
    solid("Olive", 50, 0, 33),
    solid("Navy", 20, 5, -30),
)


def test_a_fabric_that_sinks_for_some_eyes_alone_is_named(looked: Looked) -> None:
    plan = looked([BRICK, NAVY], ground=OLIVE)
    found = {entry.eyes: entry.sinking for entry in merging(plan)}
    assert found[Eyes.DEUTAN] == ("brick",)
    assert Eyes.TRITAN not in found
    (text,) = (line for line in colour_blind(plan) if "deutan" in line)
    assert text == "To eyes without the cones for green (deutan) 'Brick' sinks into 'Olive'."
    of_each = seen_by_eyes(plan)
    assert of_each[Eyes.DEUTAN] == text
    assert of_each[Eyes.TRITAN] == (
        "To eyes without the cones for blue (tritan) no two merge that others tell apart, and "
        "nothing sinks."
    )


def test_nothing_is_told_where_nothing_merges(looked: Looked) -> None:
    assert colour_blind(looked([NAVY], ground=solid("Cream", 92, 0, 8))) == []

"""How blocks are pressed, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from placement.top.sewing.pressing import Pressing


def pressing_words(pressing: Pressing) -> str:
    """Say how the blocks are pressed and turned."""
    return pressing.sentence

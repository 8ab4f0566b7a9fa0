"""What a scattered layout does not keep of what is promised, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import number, tenths
from placement.top.request import Promise

if TYPE_CHECKING:
    from collections.abc import Callable

    from placement.top.request import Quality


def unkept(quality: Quality) -> list[str]:
    """Say what a layout does not keep, a sentence for each promise.

    Parameters
    ----------
    quality : Quality
        The measure of the layout.
    """
    return [_SENTENCES[promise](quality) for promise in quality.broken]


def _neighbours(quality: Quality) -> str:
    return f"At least {tenths(quality.wanted)} was wanted of blocks side by side."


def _copies(_quality: Quality) -> str:
    return "Some blocks of one fabric lie nearer each other than is usual for so many."


def _evenness(quality: Quality) -> str:
    off = 100 * quality.evenness
    return (
        "Some rows, columns, diagonals or quarters hold more or less of a fabric than their fair "
        f"share: counts lie {off:.0f} % further from it than whole blocks force."
    )


def _balance(quality: Quality) -> str:
    off = 100 * quality.balance
    return (
        "Light and dark lean to one side: their middle lies "
        f"{off:.1f} % of the way from the quilt's middle to a corner."
    )


def _repeats(quality: Quality) -> str:
    again = number(quality.repeated_contacts, "time")
    return f"Two fabrics that already lie side by side do so again {again}."


_SENTENCES: dict[Promise, Callable[[Quality], str]] = {
    Promise.NEIGHBOURS: _neighbours,
    Promise.COPIES: _copies,
    Promise.EVENNESS: _evenness,
    Promise.BALANCE: _balance,
    Promise.REPEATS: _repeats,
}

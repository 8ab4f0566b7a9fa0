"""Strips shared out over several pieces of cloth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from placement.cloth.solver.columns import Strip

if TYPE_CHECKING:
    from collections.abc import Sequence

Sheets = tuple[tuple[Strip, ...], ...]

_STEPS = 20_000
"""Placements tried before the search is given up."""


def share_out(
    strips: Sequence[Strip], height: int | None, sheets: int
) -> tuple[Sheets, tuple[Strip, ...]]:
    """Return the strips of each sheet, and those that find no place.

    A complete search within a budget, highest strips first; failing that, first
    fit. With no height, everything goes on one sheet.
    """
    order = sorted(strips, key=lambda strip: -strip.height)
    if height is None:
        return (tuple(order),), ()
    found = _search(order, height, sheets)
    return (found, ()) if found is not None else _first_fit(order, height, sheets)


def _search(order: Sequence[Strip], height: int, sheets: int) -> Sheets | None:
    if sum(strip.height for strip in order) > height * sheets:
        return None
    rooms = [height] * sheets
    owner: list[int] = []
    steps = 0
    trial = 0
    while len(owner) < len(order):
        steps += 1
        if steps > _STEPS:
            return None
        place = _next_room(rooms, order[len(owner)].height, trial)
        if place is not None:
            rooms[place] -= order[len(owner)].height
            owner.append(place)
            trial = 0
        elif owner:
            trial = owner.pop() + 1
            rooms[trial - 1] += order[len(owner)].height
        else:
            return None
    return _gather(order, owner, sheets)


def _next_room(rooms: Sequence[int], height: int, start: int) -> int | None:
    """Return the next sheet with room, passing over sheets as full as one tried before."""
    tried = set(rooms[:start])
    for sheet in range(start, len(rooms)):
        if rooms[sheet] >= height and rooms[sheet] not in tried:
            return sheet
    return None


def _gather(order: Sequence[Strip], owner: Sequence[int], sheets: int) -> Sheets:
    return tuple(
        tuple(strip for strip, place in zip(order, owner, strict=True) if place == sheet)
        for sheet in range(sheets)
    )


def _first_fit(
    order: Sequence[Strip], height: int, sheets: int
) -> tuple[Sheets, tuple[Strip, ...]]:
    rooms, filled = [height] * sheets, [list[Strip]() for _ in range(sheets)]
    left = []
    for strip in order:
        place = _next_room(rooms, strip.height, 0)
        if place is None:
            left.append(strip)
        else:
            rooms[place] -= strip.height
            filled[place].append(strip)
    return tuple(map(tuple, filled)), tuple(left)

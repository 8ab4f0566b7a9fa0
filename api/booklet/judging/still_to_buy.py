"""What a booklet must say of cloth still to be bought, and the lengths it may name for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.lengths import as_sold, sold, to_cut

if TYPE_CHECKING:
    from collections.abc import Iterator

    from placement.cloth.shopping import Shopping


def bought_phrases(shopping: Shopping, *, metric: bool) -> Iterator[str]:
    """Yield what is needed, at hand and to be bought of all that is missing, as cells of a row.

    Parameters
    ----------
    shopping : Shopping
        The list.
    metric : bool
        Whether lengths are written in metric units.
    """
    for need in shopping.cloths:
        buy = need.buy
        if buy.length.value:
            bought, long = sold(buy.length.value, metric=metric), need.needed.length.value
            if long:
                owned = need.owned.length.value
                there = to_cut(owned, metric=metric) if owned else ""
                yield f"{to_cut(long, metric=metric)} {there} {bought}"
            elif need.rest is not None:
                # Pieces of a form at hand are told between them, in its own words.
                yield f"and {to_cut(need.rest.used.value, metric=metric)} of yardage"
                yield bought
        elif buy.count:
            yield f" {buy.count} {str(need.form.kind).partition(',')[0]}"


def bought_lengths(shopping: Shopping, *, metric: bool) -> Iterator[str]:
    """Yield every length that a list of what is missing may name."""
    for need in shopping.cloths:
        lengths = [need.needed.length, need.owned.length]
        if need.rest is not None:
            lengths.append(need.rest.used)
        for piece, _ in need.lacking:
            lengths += [piece.width, piece.height]
        yield from (to_cut(length.value, metric=metric) for length in lengths)
        yield sold(need.buy.length.value, metric=metric)
        for side in (need.form.nominal_width, need.form.nominal_height):
            if side is not None:
                yield as_sold(side.value, metric=metric)
    yield sold(shopping.backing.buy.value, metric=metric)

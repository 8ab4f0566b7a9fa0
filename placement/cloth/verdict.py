"""Verdicts on cutting in a quilter's words, with their numbers."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from placement.cloth.yardage import is_metric, yards
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.cloth.cutting import Cloth, Piece

_STACKED = ", some pieces stacked in a strip"


def measure(length: Inches, cloth: Cloth) -> str:
    """Write a length in the unit its cloth is named in."""
    return f"{round(length.mm, 1):g} mm" if is_metric(cloth.form) else f"{length} in"


def cloth_words(cloth: Cloth) -> str:
    """Name the cloth at hand: 'a fat eighth', '3 fat eighths', '26 1/2 in of yardage'."""
    if cloth.form.open_ended:
        return "yardage" if cloth.length is None else "the yardage"
    name, comma, rest = cloth.form.name.removeprefix("metric ").partition(",")
    if cloth.count == 1:
        return f"a {name}{comma}{rest}"
    return f"{cloth.count} {name}s{comma}{rest}"


def pieces_words(missing: Sequence[tuple[str, int]]) -> str:
    """Name pieces with their counts: '8 squares and 1 binding strip'."""
    parts = [f"{count} {name if count == 1 else _plural(name)}" for name, count in missing]
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)


def _plural(name: str) -> str:
    """Put the noun of a piece's name in the plural: 'squares for side triangles'."""
    noun, gap, rest = name.partition(" for ")
    return name if noun.endswith("s") else f"{noun}s{gap}{rest}"


def nothing(cloth: Cloth) -> str:
    """Say that there is nothing to cut."""
    return f"Nothing is to be cut from {cloth_words(cloth)}."


def fits(cloth: Cloth, spare: Inches, *, stacked: bool) -> str:
    """Say that everything fits, and what is left."""
    how = f"{cloth_words(cloth)}{_STACKED}," if stacked else cloth_words(cloth)
    side = "length" if cloth.form.open_ended else "height"
    left = f"{measure(spare, cloth)} of {side}" if spare.value else f"no {side}"
    return f"Fits {how} with {left} to spare."


def needs(cloth: Cloth, used: Inches, buy: Inches, *, stacked: bool) -> str:
    """Say how much yardage to buy."""
    return (
        f"Takes {measure(used, cloth)} of cloth {measure(cloth.form.width, cloth)} wide"
        f"{_STACKED if stacked else ''}; buy {yards(buy, metric=is_metric(cloth.form))}."
    )


def short(
    cloth: Cloth, strips: Inches, bound: Inches, by: Inches, missing: Sequence[tuple[str, int]]
) -> str:
    """Say by how much cloth is short, as usable and as sold, and what finds no place."""
    left_out = f"there is no place for {pieces_words(missing)}"
    if cloth.count > 1:
        return (
            f"Short: in {cloth_words(cloth)} {left_out}, which would take another piece "
            f"{measure(by, cloth)} high."
        )
    usable = Inches(strips.value - by.value)
    least = Inches(max(Fraction(0), bound.value - usable.value))
    most = f", perhaps by {measure(least, cloth)} only" if least < by else ""
    room = f"has {measure(usable, cloth)} of usable height{_as_sold(cloth, strips)}"
    if cloth.form.open_ended:
        room = f"is {measure(usable, cloth)} long"
    return (
        f"Short by {measure(by, cloth)}{most}: the strips take {measure(strips, cloth)} and "
        f"{cloth_words(cloth)} {room}; {left_out}."
    )


def _as_sold(cloth: Cloth, strips: Inches) -> str:
    nominal = cloth.form.nominal_height
    if nominal is None or nominal == cloth.form.height:
        return ""
    sold = f" ({measure(nominal, cloth)} as sold"
    if strips <= nominal:
        return f"{sold}: just enough if nothing is lost to squaring up)"
    return f"{sold}: short by {measure(Inches(strips.value - nominal.value), cloth)})"


def too_large(cloth: Cloth, piece: Piece) -> str:
    """Say that a piece fits the cloth no way round."""
    form = cloth.form
    height = cloth.length or form.height
    size = f"{measure(piece.width, cloth)} x {measure(piece.height, cloth)}"
    room = f"{measure(form.width, cloth)} wide"
    if height is not None:
        room = f"{measure(height, cloth)} x {measure(form.width, cloth)}"
    turn = "either way round" if piece.turn else "without turning it"
    return (
        f"A {piece.name} of {size} does not fit {cloth_words(cloth)} ({room} usable) {turn}; "
        "use larger cloth or join strips."
    )


def undecided(
    cloth: Cloth, strips: Inches, bound: Inches, missing: Sequence[tuple[str, int]]
) -> str:
    """Say that neither a fitting plan nor a proof against one was found."""
    return (
        f"Undecided: the best plan found takes {measure(strips, cloth)} of strips from "
        f"{cloth_words(cloth)} and leaves out {pieces_words(missing)}; no plan takes less than "
        f"{measure(bound, cloth)}. Have a little more cloth at hand."
    )

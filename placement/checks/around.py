"""The judge of what goes around the blocks, and of what is bought.

Lengths are worked out again from the corners of the quilt: a butted strip is a
rectangle with a seam all round; at a mitre the cut runs a seam outside the 45
degree line, which meets the strip's outer cut edge q + q sqrt 2 beyond the corner.
Strips joined end to end are laid out one after the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor, sqrt
from typing import TYPE_CHECKING

from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.top.setting.finishing import Backing, Binding, Border

_NEAR = 1e-6
_ENDS = Fraction(1, 2)
"""Lost when both ends of bought cloth are squared up, inches; common practice."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A quilt's centre and the terms of finishing it."""

    width: float
    """Finished width inside all borders, inches."""
    height: float
    """Finished height inside all borders, inches."""
    seam: Inches
    """Seam allowance."""
    extra: float = 12.0
    """Binding beyond the way round, inches."""
    lost: float = 0.5
    """What a join of two binding strips loses, inches."""
    margin: float = 4.0
    """Backing beyond the quilt on every side, inches."""


def judge_borders(
    edge: Edge, borders: Sequence[Border], finished: Sequence[tuple[Inches, str]],
    pieces: Sequence[Piece],
) -> tuple[str, ...]:  # fmt: skip
    """List the faults of borders, from the centre outward, and of the strips cut for them.

    Parameters
    ----------
    edge : the centre they go round.
    borders : what is to be judged.
    finished : finished width and fabric of each, as asked for.
    pieces : what is cut; the strips of a border are as wide as it is cut.
    """
    if [(b.finished, b.fabric) for b in borders] != list(finished):
        return ("the borders are not those asked for",)
    faults: list[str] = []
    width, height = edge.width, edge.height
    strips = [piece for piece in pieces if piece.name.endswith("border strip")]
    for number, frame in enumerate(borders, 1):
        name = f"border {number}"
        faults += _lengths(name, frame, width, height, float(edge.seam))
        width, height = width + 2 * float(frame.finished), height + 2 * float(frame.finished)
        mine = strips[number - 1] if number <= len(strips) else None
        faults += _cut_strips(name, frame, mine, float(edge.seam))
    if len(strips) != len(borders):
        faults.append(f"strips are cut for {len(strips)} borders; there are {len(borders)}")
    return tuple(faults)


def _lengths(name: str, frame: Border, width: float, height: float, q: float) -> Iterator[str]:
    b = float(frame.finished)
    if abs(float(frame.cut) - b - 2 * q) > _NEAR:
        yield f"{name} is cut {frame.cut} wide for {frame.finished} finished"
    if frame.corner == "butted":
        sides, ends = height + 2 * q, width + 2 * b + 2 * q
    else:
        beyond = 2 * (q + q * sqrt(2))
        sides, ends = height + 2 * b + beyond, width + 2 * b + beyond
    for what, given, needed in (("sides", frame.sides, sides), ("ends", frame.ends, ends)):
        if abs(given - needed) > _NEAR:
            yield f"the {what} of {name} are {given:.4f} in; they must be {needed:.4f}"
    if abs(frame.width - width - 2 * b) > _NEAR or abs(frame.height - height - 2 * b) > _NEAR:
        yield f"the quilt with {name} is not {width + 2 * b:.4f} x {height + 2 * b:.4f} in"


def _cut_strips(name: str, frame: Border, piece: Piece | None, q: float) -> Iterator[str]:
    if piece is None or (piece.fabric, piece.height) != (frame.fabric, frame.cut):
        yield f"no strips {frame.cut} wide of {frame.fabric!r} are cut for {name}"
        return
    if piece.turn:
        yield f"the strips of {name} may be turned off their grain"
    needed, long = 2 * (frame.sides + frame.ends), float(piece.width)
    if _joined(piece.count, long, 2 * q) < needed - _NEAR:
        yield f"{piece.count} strips of {name} do not make {needed:.4f} in"
    elif _joined(piece.count - 1, long, 2 * q) >= needed:
        yield f"{piece.count} strips of {name} are more than {needed:.4f} in take"


def _joined(strips: int, long: float, lost: float) -> float:
    """Return the length of strips sewn end to end."""
    return sum(long - (lost if number else 0.0) for number in range(strips))


def judge_binding(
    edge: Edge, size: tuple[float, float], bound: Binding, pieces: Sequence[Piece]
) -> tuple[str, ...]:
    """List the faults of a binding and of what is cut for it.

    Parameters
    ----------
    edge : seam, extra length and what a join of strips loses.
    size : finished width and height of the quilt with its borders, inches.
    bound : what is to be judged.
    pieces : what is cut.
    """
    return tuple(_binding(edge, size, bound, pieces))


def _binding(
    edge: Edge, size: tuple[float, float], bound: Binding, pieces: Sequence[Piece]
) -> Iterator[str]:
    around = 2 * sum(size) + edge.extra
    if bound.length < around - _NEAR:
        yield f"the binding is {bound.length:.3f} in long; it goes round {around:.3f}"
    cut = [piece for piece in pieces if "binding" in piece.name]
    count = sum(piece.count for piece in cut)
    if bound.square is None:
        each, lost = min((float(piece.width) for piece in cut), default=0.0), edge.lost
        right = all(piece.height == bound.cut and not piece.turn for piece in cut)
    else:
        # The tube is S - 2q round in each direction; marks a cut apart on its diagonal.
        inner, c = float(bound.square) - 2 * float(edge.seam), float(bound.cut)
        each, lost = floor(inner / sqrt(2) / c + 1e-9) * sqrt(2) * inner, c
        right = all(piece.width == piece.height == bound.square for piece in cut)
    if not right:
        yield "what is cut for the binding has another size than it says, or another grain"
    if count != bound.strips:
        yield f"{bound.strips} pieces make the binding; {count} are cut"
    if _joined(count, each, lost) < around - _NEAR:
        yield f"{_joined(count, each, lost):.3f} in of binding are cut; it goes round {around:.3f}"
    elif _joined(count - 1, each, lost) >= around:
        yield f"{count} pieces are more than the binding takes"


def judge_backing(
    edge: Edge, size: tuple[float, float], usable: Inches, ways: Sequence[Backing]
) -> tuple[str, ...]:
    """List the ways to piece a backing that do not cover the quilt and its margin."""
    faults = []
    for way in ways:
        width, height = (side + 2 * edge.margin for side in size)
        # A single length may lie either way round.
        lies = {"upright": [(width, height)], "level": [(height, width)]}.get(
            way.seams, [(width, height), (height, width)]
        )
        reach = _joined(way.panels, float(usable), 1.0)
        if not any(
            reach >= across - _NEAR and abs(way.panel_length - along) < _NEAR
            for across, along in lies
        ):
            faults.append(f"a backing of {way.panels} lengths, {way.seams}, does not cover")
        if abs(way.cloth - way.panels * way.panel_length) > _NEAR:
            faults.append(f"{way.panels} lengths of {way.panel_length:.3f} are not {way.cloth:.3f}")
    return tuple(faults)


def judge_purchase(plan: CuttingPlan, shrinkage: Fraction) -> tuple[str, ...]:
    """List why bought yardage does not suffice once it is washed and squared up."""
    faults = []
    form = plan.cloth.form
    if form.open_ended and form.width.value > form.nominal_width.value * (1 - shrinkage):
        faults.append(f"cloth {form.nominal_width} wide is not {form.width} wide when washed")
    if plan.buy is not None and plan.used.value:
        left = plan.buy.value * (1 - shrinkage) - _ENDS
        if left < plan.used.value:
            faults.append(f"of {plan.buy} in bought {float(left):.3f} are left; used {plan.used}")
    return tuple(faults)

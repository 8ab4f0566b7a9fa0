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

from placement.checks.fault import Fault, FaultKind, fault
from placement.cloth.cutting import PieceKind
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.top.setting.finishing import Backing, Binding, Border

_NEAR = 1e-6
_BINDINGS = (PieceKind.BINDING, PieceKind.BIAS_BINDING)
_ENDS = Fraction(1, 2)
"""Lost when both ends of bought cloth are squared up, inches; common practice."""
_SHOP_STEPS = {False: Fraction(36, 8), True: Fraction(1000, 254)}
"""Cloth is sold by the eighth of a yard, in metric work by 10 cm; inches, common practice."""
_LEAST_SAVING = 2.0
"""Inches of margin that a smaller backing must leave on every side."""


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
) -> tuple[Fault, ...]:  # fmt: skip
    """List the faults of borders, from the centre outward, and of the strips cut for them.

    Parameters
    ----------
    edge : Edge
        The centre they go round.
    borders : sequence of Border
        What is to be judged.
    finished : sequence of (Inches, str)
        Finished width and fabric of each, as asked for.
    pieces : sequence of Piece
        What is cut; the strips of a border are as wide as it is cut.
    """
    faults: list[Fault] = []
    if len(borders) != len(finished):
        faults.append(fault(FaultKind.BORDERS_ASKED, said=len(finished), found=len(borders)))
    width, height = edge.width, edge.height
    strips = [piece for piece in pieces if piece.kind is PieceKind.BORDER]
    for number, frame in enumerate(borders, 1):
        if number <= len(finished) and (frame.finished, frame.fabric) != finished[number - 1]:
            faults.append(fault(FaultKind.BORDER_ASKED, number=number))
        faults += _lengths(number, frame, width, height, float(edge.seam))
        width, height = width + 2 * float(frame.finished), height + 2 * float(frame.finished)
        mine = strips[number - 1] if number <= len(strips) else None
        faults += _cut_strips(number, frame, mine, float(edge.seam))
    if len(strips) > len(borders):
        faults.append(fault(FaultKind.BORDERS_ASKED, said=len(strips), found=len(borders)))
    return tuple(faults)


def _lengths(number: int, frame: Border, width: float, height: float, q: float) -> Iterator[Fault]:
    b = float(frame.finished)
    if abs(float(frame.cut) - b - 2 * q) > _NEAR:
        yield fault(FaultKind.BORDER_CUT, number=number, said=frame.cut, wanted=b + 2 * q)
    if frame.corner == "butted":
        sides, ends = height + 2 * q, width + 2 * b + 2 * q
    else:
        beyond = 2 * (q + q * sqrt(2))
        sides, ends = height + 2 * b + beyond, width + 2 * b + beyond
    if abs(frame.sides - sides) > _NEAR:
        yield fault(FaultKind.BORDER_SIDES, number=number, said=frame.sides, wanted=sides)
    if abs(frame.ends - ends) > _NEAR:
        yield fault(FaultKind.BORDER_ENDS, number=number, said=frame.ends, wanted=ends)
    wide, high = width + 2 * b, height + 2 * b
    if abs(frame.width - wide) > _NEAR or abs(frame.height - high) > _NEAR:
        yield fault(FaultKind.BORDER_SIZE, number=number, width=wide, height=high)


def _cut_strips(number: int, frame: Border, piece: Piece | None, q: float) -> Iterator[Fault]:
    if piece is None or (piece.fabric, piece.height) != (frame.fabric, frame.cut):
        yield fault(FaultKind.BORDER_STRIPS, number=number, fabric=frame.fabric, width=frame.cut)
        return
    if piece.turn:
        yield fault(FaultKind.BORDER_GRAIN, number=number)
    needed, long = 2 * (frame.sides + frame.ends), float(piece.width)
    if _joined(piece.count, long, 2 * q) < needed - _NEAR:
        yield fault(FaultKind.BORDER_SHORT, number=number, count=piece.count, wanted=needed)
    elif _joined(piece.count - 1, long, 2 * q) >= needed:
        yield fault(FaultKind.BORDER_SPARE, number=number, count=piece.count, wanted=needed)


def _joined(strips: int, long: float, lost: float) -> float:
    """Return the length of strips sewn end to end."""
    return sum(long - (lost if number else 0.0) for number in range(strips))


def judge_binding(
    edge: Edge,
    size: tuple[float, float],
    bound: Binding,
    pieces: Sequence[Piece],
    fabric: str = "",
    width: Inches | None = None,
) -> tuple[Fault, ...]:
    """List the faults of a binding and of what is cut for it.

    Parameters
    ----------
    edge : Edge
        Seam, extra length and what a join of strips loses.
    size : (float, float)
        Finished width and height of the quilt with its borders, inches.
    bound : Binding
        What is to be judged.
    pieces : sequence of Piece
        What is cut.
    fabric : str
        Id of the fabric it must be cut from; '' for any.
    width : Inches or None
        How wide it must be cut; None for any width.
    """
    cut = [piece for piece in pieces if piece.kind in _BINDINGS]
    faults = [
        fault(FaultKind.BINDING_FABRIC, fabric=fabric, said=piece.fabric)
        for piece in cut
        if fabric and piece.fabric != fabric
    ]
    if width is not None and bound.cut != width:
        faults.append(fault(FaultKind.BINDING_WIDTH, said=bound.cut, wanted=width))
    return (*faults, *_binding(edge, size, bound, cut))


def _binding(
    edge: Edge, size: tuple[float, float], bound: Binding, cut: Sequence[Piece]
) -> Iterator[Fault]:
    around = 2 * sum(size) + edge.extra
    if abs(bound.length - around) > _NEAR:
        yield fault(FaultKind.BINDING_LENGTH, said=bound.length, wanted=around)
    count = sum(piece.count for piece in cut)
    if bound.square is None:
        each, lost = min((float(piece.width) for piece in cut), default=0.0), edge.lost
        right = all(piece.height == bound.cut and not piece.turn for piece in cut)
        takes = bound.cut.value * bound.strips
    else:
        # The tube is S - 2q round in each direction; marks a cut apart on its diagonal.
        inner, c = float(bound.square) - 2 * float(edge.seam), float(bound.cut)
        each, lost = floor(inner / sqrt(2) / c + 1e-9) * sqrt(2) * inner, c
        right = all(piece.width == piece.height == bound.square for piece in cut)
        takes = bound.square.value * bound.strips
    if not right:
        yield fault(FaultKind.BINDING_SIZE)
    if bound.cloth.value != takes:
        yield fault(FaultKind.BINDING_CLOTH, said=bound.cloth, wanted=Inches(takes))
    if count != bound.strips:
        yield fault(FaultKind.BINDING_PIECES, said=bound.strips, found=count)
    if _joined(count, each, lost) < around - _NEAR:
        yield fault(FaultKind.BINDING_SHORT, found=_joined(count, each, lost), wanted=around)
    elif _joined(count - 1, each, lost) >= around:
        yield fault(FaultKind.BINDING_SPARE, count=count)


def judge_backing(
    edge: Edge, size: tuple[float, float], usable: Inches, ways: Sequence[Backing]
) -> tuple[Fault, ...]:
    """List the ways to piece a backing that do not cover the quilt and its margin, or too well.

    Parameters
    ----------
    edge : Edge
        The margin.
    size : (float, float)
        Finished width and height of the quilt with its borders, inches.
    usable : Inches
        Width of the backing's cloth.
    ways : sequence of Backing
        What is to be judged.
    """
    faults = [fault for way in ways for fault in _way(edge, size, float(usable), way)]
    return tuple(faults) if ways else (fault(FaultKind.BACKING_NONE),)


def _way(edge: Edge, size: tuple[float, float], usable: float, way: Backing) -> Iterator[Fault]:
    width, height = (side + 2 * edge.margin for side in size)
    # Seams from top to bottom part the width; a single length may lie either way round.
    lies = {"upright": [(width, height)], "level": [(height, width)]}.get(
        way.seams, [(width, height), (height, width)] if way.panels == 1 else []
    )
    reach = _joined(way.panels, usable, 1.0)
    covered = [
        across
        for across, along in lies
        if reach >= across - _NEAR and abs(way.panel_length - along) < _NEAR
    ]
    if not covered or _joined(way.panels - 1, usable, 1.0) >= max(covered):
        yield fault(FaultKind.BACKING_COVER, count=way.panels, length=way.panel_length)
    needed = way.panels * way.panel_length
    if abs(way.cloth - needed) > _NEAR:
        yield fault(FaultKind.BACKING_CLOTH, said=way.cloth, wanted=needed)
    saved = [_saved(edge, usable, way.panels, across) for across in covered]
    if saved and not any(_same(way.saving_margin, margin) for margin in saved):
        yield fault(FaultKind.BACKING_SAVING, said=way.saving_margin or 0.0)


def _saved(edge: Edge, usable: float, panels: int, across: float) -> float | None:
    """Return the margin a side that a length less leaves, if it is worth telling."""
    left = (_joined(panels - 1, usable, 1.0) - (across - 2 * edge.margin)) / 2
    return left if _LEAST_SAVING <= left < edge.margin else None


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) < _NEAR


def judge_batting(
    edge: Edge, size: tuple[float, float], batting: tuple[float, float]
) -> tuple[Fault, ...]:
    """List the sides of a batting that are not the quilt's and a margin at either end."""
    return tuple(
        fault(FaultKind.BATTING, said=said, wanted=side + 2 * edge.margin)
        for said, side in zip(batting, size, strict=True)
        if abs(said - side - 2 * edge.margin) > _NEAR
    )


def judge_purchase(plan: CuttingPlan, shrinkage: Fraction) -> tuple[Fault, ...]:
    """List why bought yardage does not suffice once it is washed and squared up, or is too much.

    Parameters
    ----------
    plan : CuttingPlan
        How the cloth is cut, and what is bought.
    shrinkage : Fraction
        Share of length and width that is lost in the wash.
    """
    return tuple(_purchase(plan, shrinkage))


def _purchase(plan: CuttingPlan, shrinkage: Fraction) -> Iterator[Fault]:
    form, about = plan.cloth.form, plan.fabric
    washed = form.nominal_width.value * (1 - shrinkage)
    if form.open_ended and form.width.value > washed:
        yield fault(FaultKind.WASHED, fabric=about, said=form.width, found=float(washed))
    if plan.buy is None:
        return
    step = _SHOP_STEPS[form.metric]
    if plan.buy.value % step:
        yield fault(FaultKind.BOUGHT_STEP, fabric=about, bought=plan.buy)
    left = plan.buy.value * (1 - shrinkage) - _ENDS
    if plan.used.value and left < plan.used.value:
        yield fault(
            FaultKind.BOUGHT, fabric=about, bought=plan.buy, left=float(left), used=plan.used
        )
    less = (plan.buy.value - step) * (1 - shrinkage) - _ENDS
    if plan.buy.value and less >= plan.used.value:
        yield fault(FaultKind.BOUGHT_SPARE, fabric=about, bought=plan.buy, used=plan.used)

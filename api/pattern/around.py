"""What goes around the blocks of a plan: borders, binding, backing, her own setting squares."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from placement import sizes
from placement.cloth.cutting import Piece, PieceKind, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.yardage import washed
from placement.top.setting.finishing import (
    HALF,
    Binding,
    Border,
    bias_binding,
    binding,
    border,
    strips_joined,
)
from placement.top.setting.triangles import OwnSquare, Triangle, own_square

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from placement.cloth.forms import Form
    from placement.inches import Inches


def borders_of(plan: Plan) -> tuple[Border, ...]:
    """Return every border round the one before it."""
    sewing = plan.brief.sewing
    width, height = plan.brief.centre()
    found = []
    for band, fabric in zip(plan.brief.borders, plan.border_fabrics, strict=True):
        frame = border(width, height, band.width, sewing.corner, sewing.seam)
        width, height = frame.width, frame.height
        found.append(replace(frame, fabric=fabric))
    return tuple(found)


def border_strips(
    frames: Sequence[Border], across: dict[str, Form], seam: Inches
) -> Iterator[Piece]:
    """Join strips across the width of cloth to the length of all four strips of each border."""
    for number, frame in enumerate(frames, 1):
        width = across[frame.fabric].width
        strips = strips_joined(frame.total, float(width), 2 * float(seam))
        use = Use(PieceKind.BORDER, number)
        yield Piece(use, frame.fabric, width, frame.cut, strips, turn=False)


def the_binding(brief: Brief, form: Form) -> Binding:
    """Return the binding, cut from a form of cloth."""
    width, height = brief.size()
    sewing = brief.sewing
    extra = float(sewing.extra)
    if sewing.grain == "straight":
        return binding(width, height, sewing.binding, form.width, sewing.join, extra, sewing.seam)
    step = sizes.FIVE_MM if brief.units == "metric" else HALF
    least = min(form.width, form.height or form.width)
    return bias_binding(width, height, sewing.binding, least, extra, sewing.seam, step)


def binding_piece(bound: Binding, edge: str, form: Form) -> Piece:
    """Return the strips or squares that a binding is cut as."""
    if bound.square is not None:
        use = Use(PieceKind.BIAS_BINDING)
        return Piece(use, edge, bound.square, bound.square, bound.strips)
    return Piece(Use(PieceKind.BINDING), edge, form.width, bound.cut, bound.strips, turn=False)


def back_of(plan: Plan) -> Form:
    """Return the yardage the backing is cut from: as measured where its fabric is told so."""
    form = washed(form_of(FormKind.YARDAGE, plan.brief.units), plan.brief.sewing.shrunk)
    for own in plan.brief.sewing.cloths:
        yardage = own.form is FormKind.YARDAGE
        if own.fabric == plan.brief.backing_fabric and yardage and own.width:
            return replace(form, width=own.width, nominal_width=max(own.width, form.nominal_width))
    return form


def own_of(brief: Brief) -> tuple[OwnSquare, ...]:
    """Return what squares of her own size do to the points."""
    sewing, found = brief.sewing, []
    if brief.setting.kind != "on point":
        return ()
    if sewing.side_square is not None:
        found.append(own_square(brief.setting, Triangle.SIDE, sewing.side_square, sewing.seam))
    if sewing.corner_square is not None:
        found.append(own_square(brief.setting, Triangle.CORNER, sewing.corner_square, sewing.seam))
    return tuple(found)

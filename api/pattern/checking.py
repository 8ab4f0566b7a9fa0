"""What the judges say of a plan and of what is cut for it: asked before anything is told of it.

Nothing is printed, listed or drawn of a cut book that a judge finds fault with.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from api.pattern.alternates import chosen_forms, every_form, usual_told
from api.pattern.checking_picks import differences_of
from api.pattern.checking_shopping import check_shopping
from api.pattern.copies import copies_asked
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.faulty import FaultsError
from placement.checks.alike import judge_alike
from placement.checks.alternates import Wanted, judge_alternates, judge_whole
from placement.checks.around import (
    Edge,
    judge_backing,
    judge_batting,
    judge_binding,
    judge_borders,
    judge_purchase,
)
from placement.checks.cutting import judge_cutting
from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.finishing import edge_beyond, judge_own, judge_sashing, judge_squares
from placement.checks.lattice import size
from placement.checks.layout import Asked, judge_cells, judge_turns
from placement.checks.neighbours import judge_neighbours_told
from placement.checks.pieces import Top, judge_pieces
from placement.checks.pressing import judge_geese, judge_pressing, judge_seams
from placement.checks.promises import judge_promises
from placement.checks.setting import judge_setting
from placement.checks.several import judge_shares
from placement.checks.simplicity import judge_instructions, judge_simplicity
from placement.checks.units import judge_units
from placement.cloth.forms import Form, FormKind, form_of
from placement.cloth.instructions import instructions
from placement.cloth.whole import taken_whole
from placement.inches import Inches
from placement.top.request import Progress, Style, unwatched
from placement.top.setting.layout import EMPTY, Layout

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.plan import Plan
    from api.pattern.sewing import Sewing
    from placement.block import Block
    from placement.cloth.alternates import Alternate
    from placement.cloth.cut_terms import CutTerms
    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.top.setting.setting import Setting
    from placement.top.sewing.pressing import Pressing

_KEPT = 32
"""Verdicts on whole cut books that are kept: a page asks for one plan many times over."""

_KEPT_CLOTHS = 512
"""Verdicts on the cuts of one cloth; fabrics with the same cuts share one."""

_STEPS = {"inches": Inches(Fraction(1, 8)), "metric": Inches(Fraction(50, 254))}
"""To what squares for triangles are rounded up: 1/8 in, or 5 mm."""


def checked_book(plan: Plan, progress: Progress = unwatched) -> CutBook:
    """Return everything to cut, buy and press for a plan, seen by the judges.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    progress : Progress
        Told before each fabric is cut; raising inside it stops the work.

    Raises
    ------
    ValueError
        If the plan has no layout or no background, or a size can't be cut.
    FaultsError
        If a judge finds fault with it.
    """
    return approved(plan, cut_book(plan, progress))


def approved(plan: Plan, book: CutBook) -> CutBook:
    """Return a plan's cut book if the judges find no fault with it.

    Raises
    ------
    FaultsError
        If they do.
    """
    faults = check(plan, book)
    if faults:
        raise FaultsError(plan, faults)
    return book


def checked_forms(plan: Plan, book: CutBook) -> tuple[Alternate, ...]:
    """Return what every form of cloth does for the blocks of a plan, seen by the judges.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    book : CutBook
        What is cut for it.

    Raises
    ------
    FaultsError
        If a judge finds fault with it.
    """
    told = every_form(plan, book)
    faults = (*check(plan, book), *_other_forms(plan, book, told))
    if faults:
        raise FaultsError(plan, faults)
    return told


@lru_cache(maxsize=_KEPT)
def check(plan: Plan, book: CutBook) -> tuple[Fault, ...]:
    """List every fault that the judges find with a plan's layout and with its cut book.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    book : CutBook
        What is cut, bought and pressed for it.
    """
    layout = plan.layout
    if layout is None:
        raise ValueError("this plan has no layout yet; arrange it before checking it")
    return (
        *_set(layout.setting),
        *_layout(plan, layout),
        *_cut(plan, layout, book),
        *_around(plan, book, _top(plan, layout, book)),
        *_pressed(plan, layout, book),
        *check_shopping(plan, book, _laid),
        *_other_forms(plan, book, chosen_forms(plan, book)),
    )


@lru_cache(maxsize=_KEPT)
def _set(setting: Setting) -> tuple[Fault, ...]:
    return judge_setting(setting)


def _layout(plan: Plan, layout: Layout) -> Iterator[Fault]:
    """Judge which fabric lies where by what the brief asks."""
    brief = plan.brief
    kept = plan.choice.kept if plan.choice else tuple(layout.counts())
    known = {swatch.fabric.id for swatch in brief.swatches}
    copies = copies_asked(brief, kept)
    asked = Asked(
        brief.setting,
        tuple(name for name in kept if name in known),
        dict(copies.items()) if copies else None,
        {pin.cell: pin.fabric for pin in brief.pins if pin.fabric},
        {ban.cell: ban.fabrics for ban in brief.bans},
        {pin.cell for pin in brief.pins if not pin.fabric},
        EMPTY,
    )
    faults = judge_cells(asked, layout.fabrics)
    yield from faults
    if plan.quality and not any(found.kind is FaultKind.LAYOUT_LENGTH for found in faults):
        laid = tuple(plan.swatch(name).fabric for name in sorted(layout.counts()))
        far = differences_of(laid)
        yield from judge_neighbours_told(layout.setting, layout.fabrics, EMPTY, far, plan.quality)
        if brief.style is Style.SCATTERED:
            light = {s.fabric.id: s.fabric.reads_as.lightness for s in brief.swatches}
            yield from judge_promises(
                layout.setting, layout.fabrics, EMPTY, far, light, plan.quality
            )


def _cut(plan: Plan, layout: Layout, book: CutBook) -> Iterator[Fault]:
    """Judge what is cut for the top, and how it lies on its cloth."""
    top = _top(plan, layout, book)
    yield from judge_pieces(top, book.pieces, book.strip_sets)
    yield from judge_units(top, _methods(plan.brief.sewing), book.makings, book.pieces, book.notes)
    yield from judge_squares(top, book.setting)
    yield from judge_own(top, book.own)
    sewing = plan.brief.sewing
    pointed = layout.setting.kind == "on point"
    wished = {("side", sewing.side_square), ("corner", sewing.corner_square)} if pointed else set()
    own = {(str(entry.kind), entry.cut) for entry in book.own}
    if own != {wish for wish in wished if wish[1] is not None}:
        yield fault(FaultKind.OWN_SQUARES, said=len(wished), found=len(own))
    yield from judge_sashing(top, book.sashing)
    if len(book.cloths) != len(book.asked):
        yield fault(FaultKind.CLOTHS_SHARED, fabric=plan.background)
    for cloth, mine in zip(book.cloths, book.asked, strict=False):
        yield from _on_cloth(plan, book, cloth, mine)
    yield from judge_shares(book.pieces, book.asked)
    yield from _pre_cuts(plan, layout, book)
    cut = {cloth.fabric for cloth in book.cloths}
    for fabric in dict.fromkeys(piece.fabric for piece in book.pieces):
        if fabric not in cut:
            yield fault(FaultKind.UNCUT, fabric=fabric)


def _top(plan: Plan, layout: Layout, book: CutBook) -> Top:
    sewing, brief = plan.brief.sewing, plan.brief
    strips = plan.sashing_fabric or plan.background
    return Top(
        layout,
        brief.pattern(),
        sewing.seam,
        sewing.squaring,
        _STEPS[brief.units],
        _long_widths(book),
        plan.background,
        brief.second_fabric,
        strips,
        plan.cornerstone_fabric or strips,
        _own_squares(sewing),
        2 * float(sewing.floating) + float(sewing.oversize),
        _one_way(plan),
    )


def _one_way(plan: Plan) -> frozenset[str]:
    """Return the fabrics whose print has an up."""
    return frozenset(s.fabric.id for s in plan.brief.everything() if s.directional)


def _methods(sewing: Sewing) -> dict[str, str]:
    """Return how units are asked to be made, by their kind."""
    return {"half": sewing.triangles, "goose": sewing.geese, "quarter": sewing.quarters}


def _long_widths(book: CutBook) -> dict[str, Inches]:
    """Return the usable width of the cloth that long strips of a fabric are cut from."""
    found: dict[str, Inches] = {}
    for cloth in book.cloths:
        if cloth.fabric not in found or cloth.cloth.form.open_ended:
            found[cloth.fabric] = cloth.cloth.form.width
    return found


def _own_squares(sewing: Sewing) -> dict[str, Inches]:
    asked = {"side": sewing.side_square, "corner": sewing.corner_square}
    return {kind: size for kind, size in asked.items() if size is not None}


def _on_cloth(
    plan: Plan, book: CutBook, cloth: CuttingPlan, mine: tuple[Piece, ...]
) -> Iterator[Fault]:
    """Judge one fabric's cuts and what is bought of it."""
    pieces = _asked(plan, _of(book, cloth.like) if cloth.like else mine, cloth.fabric)
    if cloth.like:
        like = {other.fabric: other for other in book.cloths}.get(cloth.like)
        yield from judge_alike(_asked(plan, mine, cloth.fabric), cloth, pieces, like)
    if (cloth.surplus and not cloth.like) or (cloth.like and not plan.brief.sewing.alike):
        yield fault(FaultKind.LIKE_UNASKED, fabric=cloth.fabric, other=cloth.like)
    nameless = replace(cloth, fabric="", cloth=replace(cloth.cloth, fabric=""), like="", surplus=())
    for found in _laid(pieces, nameless, plan.brief.sewing.cut_terms):
        yield Fault(found.kind, (("fabric", cloth.fabric), *found.facts[1:]))
    yield from judge_purchase(cloth, plan.brief.sewing.shrunk)
    told = {own.form for own in plan.brief.sewing.cloths if own.fabric == cloth.fabric}
    if told and cloth.cloth.form.kind not in told:
        yield fault(FaultKind.OWN_FORM, fabric=cloth.fabric, form=cloth.cloth.form.kind)


def _pre_cuts(plan: Plan, layout: Layout, book: CutBook) -> Iterator[Fault]:
    """List fabrics of the blocks that do not come as the others do, though nothing else is told."""
    sewing, brief = plan.brief.sewing, plan.brief
    other = {own.fabric for own in sewing.cloths} | {plan.background, brief.second_fabric, EMPTY}
    came = {(cloth.fabric, cloth.cloth.form.kind) for cloth in book.cloths}
    for fabric in sorted(set(layout.fabrics) - other):
        if (fabric, sewing.form) not in came:
            yield fault(FaultKind.OWN_FORM, fabric=fabric, form=sewing.form)


def _of(book: CutBook, fabric: str) -> tuple[Piece, ...]:
    """Return everything that is cut of a fabric."""
    return tuple(piece for piece in book.pieces if piece.fabric == fabric)


def _asked(plan: Plan, pieces: tuple[Piece, ...], fabric: str) -> tuple[Piece, ...]:
    """Return pieces as they may lie on the cloth of a fabric."""
    turns = fabric not in _one_way(plan)
    return tuple(replace(piece, fabric="", turn=piece.turn and turns) for piece in pieces)


@lru_cache(maxsize=_KEPT_CLOTHS)
def _laid(pieces: tuple[Piece, ...], cloth: CuttingPlan, terms: CutTerms) -> tuple[Fault, ...]:
    faults = judge_cutting(pieces, cloth)
    if faults:
        # Instructions can be read off sound cuts only.
        return faults
    lines = instructions(cloth.cuts, cloth.cloth.form.width, terms.layers)
    return (
        *judge_simplicity(pieces, cloth, terms.allowance, terms.layers),
        *judge_instructions(cloth, lines),
        *judge_whole(cloth, taken_whole(cloth)),
    )


def _other_forms(plan: Plan, book: CutBook, told: tuple[Alternate, ...]) -> tuple[Fault, ...]:
    """Judge what is told of other forms of cloth, beside the one in use."""
    if not told or plan.layout is None:
        return ()
    sewing, brief, layout = plan.brief.sewing, plan.brief, plan.layout
    ground = [c.cloth.form.width for c in book.cloths if c.fabric == plan.background]
    laid = Counter(name for name in layout.fabrics if name != EMPTY)
    wanted = Wanted(
        brief.pattern(),
        layout.setting.block_size,
        tuple(sorted(laid.values())),
        sewing.seam,
        sewing.squaring,
        _STEPS[brief.units],
        ground[0],
        bool(brief.second_fabric) and brief.pattern().has("S"),
        bool(_one_way(plan)),
    )
    usual = usual_told(plan, book)
    everything = (usual, *told)
    asked = [_asked_form(plan, each.form.kind) for each in everything]
    asked[0] = usual.form
    return judge_alternates(wanted, asked, everything, usual.share.plan if usual.share else None)


def _asked_form(plan: Plan, kind: FormKind) -> Form:
    """Return a form with the sides that it must have."""
    sewing, units = plan.brief.sewing, plan.brief.units
    if kind is FormKind.OWN and sewing.own_height and sewing.own_width:
        low, long = sorted((sewing.own_height, sewing.own_width))
        return Form(kind, long, low, long, low, units)
    form = form_of(kind, units)
    return replace(form, width=_washed_width(plan)) if form.open_ended else form


def _around(plan: Plan, book: CutBook, top: Top) -> Iterator[Fault]:
    """Judge borders, binding, backing and batting."""
    brief, sewing = plan.brief, plan.brief.sewing
    # A diagonal join loses the cut width, a straight one two seams; common practice.
    lost = sewing.binding.value if sewing.join == "diagonal" else 2 * sewing.seam.value
    beyond = 2 * edge_beyond(top, float(sewing.floating))
    width, height = (side + beyond for side in size(brief.setting))
    edge = Edge(
        width, height, sewing.seam, float(sewing.extra), float(lost), float(sewing.margin)
    )  # fmt: skip
    bands = 2 * sum(float(band.width) for band in brief.borders)
    whole = width + bands, height + bands
    asked = [
        (band.width, fabric)
        for band, fabric in zip(brief.borders, plan.border_fabrics, strict=True)
    ]
    yield from judge_borders(edge, book.borders, asked, book.pieces)
    yield from judge_binding(
        edge, whole, book.binding, book.pieces, plan.binding_fabric, sewing.binding
    )
    if book.binding_fabric != plan.binding_fabric:
        fabric, said = plan.binding_fabric, book.binding_fabric
        yield fault(FaultKind.BINDING_FABRIC, fabric=fabric, said=said)
    if any(frame.corner != sewing.corner for frame in book.borders):
        yield fault(FaultKind.BORDER_CORNER)
    if book.backing_fabric != brief.backing_fabric:
        yield fault(FaultKind.BACKING_FABRIC, fabric=brief.backing_fabric, said=book.backing_fabric)
    yield from judge_backing(edge, whole, _back_width(plan), book.backing)
    yield from judge_batting(edge, whole, book.batting)


def _back_width(plan: Plan) -> Inches:
    """Return the usable width of the backing's cloth: as measured, or of washed yardage."""
    brief = plan.brief
    for own in brief.sewing.cloths:
        if own.fabric == brief.backing_fabric and own.form is FormKind.YARDAGE and own.width:
            return own.width
    return _washed_width(plan)


def _washed_width(plan: Plan) -> Inches:
    """Return the usable width of yardage once it is washed."""
    brief = plan.brief
    form = form_of(FormKind.YARDAGE, brief.units)
    step = Fraction(1, 8) if brief.units == "inches" else Fraction(50, 254)
    washed = form.nominal_width.value * (1 - brief.sewing.shrunk)
    return Inches(min(form.width.value, washed // step * step))


def _pressed(plan: Plan, layout: Layout, book: CutBook) -> Iterator[Fault]:
    """Judge which way seams are pressed and which blocks turn."""
    pressing, block, setting = book.pressing, plan.brief.pattern(), layout.setting
    seams = _seams(pressing, block, tuple(_lightness(plan, layout).items()))
    yield from seams
    if any(found.kind is FaultKind.PLAN_LENGTH for found in seams):
        return
    yield from judge_geese(pressing, block)
    # Blocks between others, or one by itself, have no neighbour to nest with.
    alone = setting.sashing.value or setting.alternate or setting.across * setting.down == 1
    if not pressing.failing:
        yield from judge_pressing(pressing, touching=not alone)
    holes = [cell for cell, fabric in enumerate(layout.fabrics) if fabric == EMPTY]
    if not pressing.turn:
        if layout.turned:
            yield fault(FaultKind.TURNED_IDLY, count=len(layout.turned))
        return
    if layout.turn != pressing.turn:
        yield fault(FaultKind.TURN, said=layout.turn, found=pressing.turn)
    yield from judge_turns(setting, layout.turned, holes)


@lru_cache(maxsize=_KEPT)
def _seams(
    pressing: Pressing, block: Block, lightness: tuple[tuple[str, float], ...]
) -> tuple[Fault, ...]:
    return judge_seams(pressing, block, dict(lightness))


def _lightness(plan: Plan, layout: Layout) -> dict[str, float]:
    """Return L* of each role's cloth: of features the mean of the fabrics that lie in blocks."""
    laid = sorted(set(layout.fabrics) - {EMPTY})
    feature = sum(plan.swatch(name).fabric.reads_as.lightness for name in laid) / max(1, len(laid))
    second = plan.brief.second_fabric
    found = {"F": feature, "S": feature}
    if second:
        found["S"] = plan.swatch(second).fabric.reads_as.lightness
    if plan.background:
        found["B"] = plan.swatch(plan.background).fabric.reads_as.lightness
    return found

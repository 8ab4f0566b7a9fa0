"""From a plan to the sewing room: pieces, cloth, finishing and pressing in one value.

A pure function of the plan, so it is made when it is asked for and never stored.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from pydantic import TypeAdapter

from api.pattern.around import (
    back_of,
    binding_piece,
    border_strips,
    borders_of,
    own_of,
    the_binding,
)
from api.pattern.plan import Plan
from api.pattern.shopping import shopping
from api.pattern.turning import pressing
from placement.cloth.aims import cut_for
from placement.cloth.alike import largest
from placement.cloth.cutting import Cloth, CuttingPlan, Piece
from placement.cloth.enough import with_enough
from placement.cloth.forms import Along, Form, FormKind, form_of
from placement.cloth.methods import Making
from placement.cloth.pieces import Note, StripSet, cutting_list
from placement.cloth.several import long_cloth, shared_out
from placement.cloth.shopping import Shopping
from placement.cloth.yardage import washed
from placement.top.request import Doing, Progress, Stage, unwatched
from placement.top.setting.finishing import (
    Backing,
    Binding,
    Border,
    Sashing,
    backing,
    batting,
    sashing,
)
from placement.top.setting.triangles import OwnSquare, SettingSquares
from placement.top.sewing.pressing import Pressing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from api.pattern.plan import Plan
    from api.pattern.sewing import OwnCloth
    from placement.cloth.alike import Over
    from placement.cloth.alternates import Solve
    from placement.cloth.cut_terms import CutTerms
    from placement.top.setting.layout import Layout

_KEPT = 512
"""Solutions that are kept: swapping blocks changes no count, so nothing is solved anew."""


@dataclass(frozen=True, slots=True)
class CutBook:
    """Everything that is cut, bought and pressed for one plan."""

    pieces: tuple[Piece, ...]
    """Every rectangle to cut, fabric by fabric, borders and binding included."""
    strip_sets: tuple[StripSet, ...]
    """Strips sewn side by side and cut across."""
    makings: tuple[Making, ...]
    """How the block's triangle units are made."""
    cloths: tuple[CuttingPlan, ...]
    """How each fabric's pieces lie on its cloth, background last; a fabric with several cloths
    comes several times, in the order they are cut."""
    asked: tuple[tuple[Piece, ...], ...]
    """The pieces that are to be cut from each of the cloths, in their order."""
    setting: tuple[SettingSquares, ...]
    """The squares for side and corner triangles."""
    own: tuple[OwnSquare, ...]
    """What squares of her own size do to the points."""
    sashing: Sashing | None
    """The strips between the blocks and their cornerstones."""
    borders: tuple[Border, ...]
    """The strips of each border, from the centre outward."""
    binding: Binding
    """The binding's strips."""
    binding_fabric: str
    """Id of the fabric they are cut from."""
    backing: tuple[Backing, ...]
    """Both ways to piece the backing, the cheaper first."""
    backing_fabric: str
    """Id of its fabric; '' if it is to be bought."""
    batting: tuple[float, float]
    """Width and height of the batting, inches."""
    pressing: Pressing
    """Which way seams are pressed and which blocks turn."""
    notes: tuple[Note, ...]
    """What the maker should know."""
    shopping: Shopping
    """What is needed, at hand and missing."""

    @property
    def problems(self) -> tuple[CuttingPlan, ...]:
        """Every fabric whose cloth does not suffice."""
        return tuple(plan for plan in self.cloths if not plan.verdict.fits)

    def asked_of(self, cloth: CuttingPlan) -> tuple[Piece, ...]:
        """Return the pieces that are to be cut from one of the cloths."""
        return self.asked[self.cloths.index(cloth)]

    def which(self, cloth: CuttingPlan) -> int:
        """Return which of its fabric's cloths one of the cloths is, from 0."""
        same = [plan for plan in self.cloths if plan.fabric == cloth.fabric]
        return same.index(cloth)


def cut_book(plan: Plan, progress: Progress = unwatched) -> CutBook:
    """Return everything to cut, buy and press for a plan.

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
    """
    layout, background = _needed(plan)
    brief, sewing = plan.brief, plan.brief.sewing
    forms = _forms(plan, layout, background)
    terms = sewing.terms(brief.units)
    block = brief.pattern()
    widths = {fabric: cloths[0].form.width for fabric, cloths in forms.items()}
    across = {fabric: long_cloth(cloths).form for fabric, cloths in forms.items()}
    listed = cutting_list(
        layout,
        block,
        background,
        widths,
        terms,
        brief.second_fabric,
        sashing_fabric=plan.sashing_fabric,
        cornerstone_fabric=plan.cornerstone_fabric,
        across={fabric: form.width for fabric, form in across.items()},
        one_way=[fabric for fabric in forms if plan.swatch(fabric).directional],
    )
    frames = borders_of(plan)
    edge = plan.binding_fabric
    bound = the_binding(brief, across[edge])
    back = back_of(plan)
    pieces = (
        *listed.pieces,
        *border_strips(frames, across, sewing.seam),
        binding_piece(bound, edge, across[edge]),
    )
    cut = _cut_all(plan, pieces, forms, progress)
    width, height = brief.size()
    ways = backing(width, height, back.width, float(sewing.margin))
    return CutBook(
        pieces,
        listed.strip_sets,
        listed.makings,
        tuple(found for found, _ in cut),
        tuple(asked for _, asked in cut),
        brief.setting_squares(),
        own_of(brief),
        sashing(brief.setting, sewing.seam, terms.step),
        frames,
        bound,
        edge,
        ways,
        brief.backing_fabric,
        batting(width, height, float(sewing.margin)),
        pressing(plan, layout),
        listed.notes,
        shopping(plan, cut, ways[0], partial(_bought, sewing.cut_terms)),
    )


def _needed(plan: Plan) -> tuple[Layout, str]:
    if plan.layout is None:
        raise ValueError("this plan has no layout yet; arrange it before cutting")
    if not plan.background:
        raise ValueError("this plan has no background; add a photo of one before cutting")
    return plan.layout, plan.background


def _forms(plan: Plan, layout: Layout, background: str) -> dict[str, tuple[Cloth, ...]]:
    """Return the cloths of every fabric in use; what is bought as yardage last, background last.

    Several that are told are cut in the order told. A fabric of the blocks that makes
    a border, a binding or sashing besides comes as the others do, and as yardage for those.
    """
    given: dict[str, list[OwnCloth]] = {}
    for entry in plan.brief.sewing.cloths:
        given.setdefault(entry.fabric, []).append(entry)
    used = layout.counts()
    long = _by_the_length(plan, background)
    order = (swatch.fabric.id for swatch in plan.brief.swatches)
    names = [name for name in order if name in used and name not in long]
    return {
        name: _cloths_of(plan, name, given.get(name, []), long=name in long, laid=name in used)
        for name in (*names, *long)
    }


def _cloths_of(
    plan: Plan, name: str, given: Sequence[OwnCloth], *, long: bool, laid: bool
) -> tuple[Cloth, ...]:
    if given:
        forms = [(_form(plan, name, own, long=long), own) for own in given]
        return tuple(Cloth(name, form, own.count, own.length) for form, own in forms)
    usual = _form(plan, name, None, long=long)
    if not (long and laid) or name in (plan.background, plan.brief.second_fabric):
        return (Cloth(name, usual),)
    blocks = _form(plan, name, None)
    return (Cloth(name, usual),) if blocks.open_ended else (Cloth(name, blocks), Cloth(name, usual))


def _form(plan: Plan, name: str, own: OwnCloth | None, *, long: bool = False) -> Form:
    """Return the form that a fabric comes in: her own, yardage, or as the fabrics do.

    A print with an up and a down lies the usual way: its pieces are not turned.
    """
    brief = plan.brief
    if own:
        form = own.cloth_form(brief.units, brief.sewing)
    elif long:
        form = form_of(FormKind.YARDAGE, brief.units)
    else:
        form = brief.sewing.usual_form(brief.units)
    along = own.along if own else brief.sewing.along
    if along is Along.SHORT and plan.swatch(name).directional:
        form = form.laid(Along.LONG)
    # A width that was measured is taken as it is.
    return form if own and own.width is not None else washed(form, brief.sewing.shrunk)


def _by_the_length(plan: Plan, background: str) -> tuple[str, ...]:
    """Return the fabrics that are yardage unless told otherwise, background last."""
    second = plan.brief.second_fabric if plan.brief.pattern().has("S") else ""
    between = (plan.cornerstone_fabric, plan.sashing_fabric)
    names = dict.fromkeys((second, *between, *plan.border_fabrics, plan.binding_fabric))
    return (*(name for name in names if name not in ("", background)), background)


def _cut_all(
    plan: Plan, pieces: Sequence[Piece], forms: dict[str, tuple[Cloth, ...]], progress: Progress
) -> list[tuple[CuttingPlan, tuple[Piece, ...]]]:
    found = []
    wanted = {fabric: _wanted(plan, pieces, fabric) for fabric in forms}
    single = {fabric: cloths[0] for fabric, cloths in forms.items() if len(cloths) == 1}
    served = _served(wanted, single) if plan.brief.sewing.alike else {}
    told = {entry.fabric for entry in plan.brief.sewing.cloths}
    terms = plan.brief.sewing.cut_terms
    for done, (fabric, cloths) in enumerate(forms.items()):
        progress(done / len(forms), Doing(Stage.CUT, plan.swatch(fabric).fabric.name))
        mine = wanted[fabric]
        if len(cloths) > 1:
            shared = shared_out(
                mine, cloths, lambda p, c: _judged(p, c, terms), onward=fabric in told
            )
            found += [
                (replace(solved, fabric=fabric, cloth=cloth), _of_fabric(asked, fabric))
                for solved, asked, cloth in shared
            ]
            continue
        like, surplus = served.get(fabric, ("", ()))
        solved = _judged(wanted[like or fabric], cloths[0], terms)
        if like and not solved.verdict.fits:
            like, surplus, solved = "", (), _judged(mine, cloths[0], terms)
        solved = replace(solved, fabric=fabric, cloth=cloths[0], like=like, surplus=surplus)
        found.append((solved, _of_fabric(mine, fabric)))
    return found


def _of_fabric(pieces: Sequence[Piece], fabric: str) -> tuple[Piece, ...]:
    return tuple(replace(piece, fabric=fabric) for piece in pieces)


def _served(
    wanted: dict[str, tuple[Piece, ...]], forms: dict[str, Cloth]
) -> dict[str, tuple[str, Over]]:
    """Return for each pre-cut that another's plan serves which that is, and what is over."""
    groups: dict[object, list[str]] = {}
    for fabric, cloth in forms.items():
        if not cloth.form.open_ended:
            groups.setdefault(replace(cloth, fabric=""), []).append(fabric)
    found: dict[str, tuple[str, Over]] = {}
    for group in groups.values():
        leader, served = largest((fabric, wanted[fabric]) for fabric in group)
        found |= {fabric: (leader, surplus) for fabric, surplus in served.items()}
    return found


def _wanted(plan: Plan, pieces: Sequence[Piece], fabric: str) -> tuple[Piece, ...]:
    """Return what is cut from a fabric, without its name, so that like fabrics are alike."""
    return tuple(replace(p, fabric="") for p in _directed(_of(pieces, fabric), plan, fabric))


def _judged(pieces: tuple[Piece, ...], cloth: Cloth, terms: CutTerms) -> CuttingPlan:
    """Cut pieces from cloth; where it falls short, say how many of its form suffice."""

    def attempt(count: int) -> CuttingPlan:
        return _solved(pieces, replace(cloth, fabric="", count=count), terms)

    return with_enough(pieces, attempt(cloth.count), attempt)


def _bought(terms: CutTerms, pieces: tuple[Piece, ...], cloth: Cloth) -> CuttingPlan:
    """Cut pieces from what is to be bought: of yardage, told in words alone, nothing is stacked."""
    return _solved(pieces, cloth, replace(terms, stacking=not cloth.form.open_ended))


def solver(plan: Plan) -> Solve:
    """Return what cuts pieces from cloth by the terms of a plan: one for plans with like terms."""
    return _solver(plan.brief.sewing.cut_terms)


@lru_cache(maxsize=_KEPT)
def _solver(terms: CutTerms) -> Solve:
    return lambda pieces, cloth: _solved(pieces, cloth, terms)


@lru_cache(maxsize=_KEPT)
def _solved(pieces: tuple[Piece, ...], cloth: Cloth, terms: CutTerms) -> CuttingPlan:
    """Cut pieces from cloth; fabrics with the same pieces share one solution."""
    return cut_for(pieces, cloth, terms)


def _of(pieces: Sequence[Piece], fabric: str) -> tuple[Piece, ...]:
    return tuple(piece for piece in pieces if piece.fabric == fabric)


def _directed(pieces: tuple[Piece, ...], plan: Plan, fabric: str) -> tuple[Piece, ...]:
    """Forbid turning where the print has an up and a down."""
    if not plan.swatch(fabric).directional:
        return pieces
    return tuple(replace(piece, turn=False) for piece in pieces)


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[CutBook]:
    return TypeAdapter(CutBook)


def book_json(book: CutBook) -> str:
    """Return the cut book as JSON, indented, ending in a newline."""
    return _adapter().dump_json(book, indent=1).decode() + "\n"

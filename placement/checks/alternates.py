"""The judge of alternates: what is said of other forms of cloth, and of pre-cuts used whole.

Blocks are laid out in mind (``placement.checks.pieces``), cuts looked at place by place
(``placement.checks.cutting``); counts of pieces are divided out again. Nothing that makes
alternates is called.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from placement.block import Block
from placement.checks.cutting import judge_cutting
from placement.checks.fault import Fact, Fault, FaultKind, fault
from placement.checks.pieces import Top, judge_pieces
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from fractions import Fraction

    from placement.cloth.alternates import Alternate, CutBlocks
    from placement.cloth.cutting import CuttingPlan
    from placement.cloth.forms import Form

_FEATURE, _GROUND, _SECOND = "feature", "ground", "second"


@dataclass(frozen=True, slots=True)
class Wanted:
    """The blocks that alternates are told for."""

    block: Block
    """The block."""
    side: Inches
    """Its finished side."""
    shares: tuple[int, ...]
    """Blocks that each fabric makes."""
    seam: Inches
    """Seam allowance."""
    squaring: Inches
    """Lost at the end of a strip set."""
    step: Inches
    """What squares for triangles are rounded up to."""
    ground: Inches
    """Usable width of the other cloth in a block."""
    second: bool = False
    """Whether the second feature has a fabric of its own."""
    upright: bool = False
    """Whether a print among the cloths has an up: more squares may be cut to keep it upright."""


def judge_alternates(
    wanted: Wanted, forms: Sequence[Form], told: Sequence[Alternate], usual: CuttingPlan | None
) -> tuple[Fault, ...]:
    """List what is wrong with what is told of other forms of cloth.

    Parameters
    ----------
    wanted : Wanted
        The blocks.
    forms : sequence of Form
        The forms that were asked for, as they are sold.
    told : sequence of Alternate
        What is told of each of them, in that order.
    usual : CuttingPlan
        How a fabric's largest share is cut from the usual form; None if none suffices.
    """
    faults = []
    if len(forms) != len(told):
        faults.append(fault(FaultKind.ALTERNATES, said=len(told), found=len(forms)))
    for form, alternate in zip(forms, told, strict=False):
        name = alternate.form.kind
        faults += [Fault(f.kind, (("form", name), *f.facts)) for f in _form(form, alternate)]
        faults += [Fault(f.kind, (("form", name), *f.facts)) for f in _blocks(wanted, alternate)]
        faults += [Fault(f.kind, (("form", name), *f.facts)) for f in _pieces(wanted, alternate)]
        if alternate.same != _alike(alternate.share, usual):
            faults.append(fault(FaultKind.ALTERNATE_SAME, form=name))
    return tuple(faults)


def _sides(form: Form) -> list[Fraction]:
    return sorted(side.value for side in (form.width, form.height) if side is not None)


def _form(asked: Form, told: Alternate) -> Iterator[Fault]:
    """See that a form has its own sides, whichever way it is laid."""
    high = told.form.height
    long = high is None or told.form.width.value >= high.value
    laid = told.along == "long side" if long else told.along == "short side"
    square = high == told.form.width
    if told.form.kind != asked.kind or _sides(told.form) != _sides(asked) or not (laid or square):
        yield fault(FaultKind.ALTERNATE_FORM)


def _blocks(wanted: Wanted, told: Alternate) -> Iterator[Fault]:
    """Every number of blocks is sewn in mind and its cuts looked at."""
    largest = max(wanted.shares)
    if told.share is not None:
        yield from _made(wanted, told.form, told.share)
        if told.share.blocks != largest:
            yield _wrong(FaultKind.ALTERNATE_BLOCKS, told.share.blocks, largest)
    if told.each is None:
        if told.most:
            yield _wrong(FaultKind.ALTERNATE_BLOCKS, told.most, 0)
        return
    yield from _made(wanted, told.form, told.each)
    whole = told.most - told.most % largest if told.most >= largest else told.most
    if told.each.blocks != whole:
        yield _wrong(FaultKind.ALTERNATE_BLOCKS, told.each.blocks, whole)
    if told.each.plan.cloth.count != 1:
        yield _wrong(FaultKind.ALTERNATE_PIECES, told.each.plan.cloth.count, 1)


def _wrong(kind: FaultKind, said: Fact, found: Fact) -> Fault:
    return fault(kind, said=said, found=found)


def _made(wanted: Wanted, form: Form, made: CutBlocks) -> Iterator[Fault]:
    layout = Layout(Setting("straight", made.blocks, 1, wanted.side), (_FEATURE,) * made.blocks)
    widths = {_FEATURE: form.width, _GROUND: wanted.ground, _SECOND: wanted.ground}
    top = Top(
        layout, wanted.block, wanted.seam, wanted.squaring, wanted.step, widths, _GROUND,
        _SECOND if wanted.second else "",
        one_way=frozenset({_FEATURE} if wanted.upright else ()),
    )  # fmt: skip
    pieces = [replace(piece, fabric=_FEATURE) for piece in made.pieces]
    for found in judge_pieces(top, pieces, made.strip_sets):
        if dict(found.facts).get("fabric") == _FEATURE:
            yield fault(FaultKind.ALTERNATE_BLOCKS, said=made.blocks, found=found.kind)
    laid = judge_cutting(made.pieces, made.plan)
    if not made.plan.verdict.fits or made.plan.cloth.form != form or laid:
        yield fault(FaultKind.ALTERNATE_CUTS, said=made.blocks, found=laid[0].kind if laid else "")


def _pieces(wanted: Wanted, told: Alternate) -> Iterator[Fault]:
    """Count the pieces of cloth for the whole quilt again."""
    total = sum(wanted.shares)
    if told.each is not None:
        fewest = -(-total // told.each.blocks)
        if told.fewest != fewest:
            yield _wrong(FaultKind.ALTERNATE_PIECES, told.fewest or 0, fewest)
    if told.share is None or told.pieces is None:
        return
    most = told.share.plan.cloth.count
    largest = sum(share == max(wanted.shares) for share in wanted.shares)
    rest = len(wanted.shares) - largest
    if not most * largest + rest <= told.pieces <= most * (largest + rest):
        yield _wrong(FaultKind.ALTERNATE_PIECES, told.pieces, most * (largest + rest))


def _alike(one: CutBlocks | None, two: CuttingPlan | None) -> bool:
    """Whether the same strips are cut, each into the same pieces."""
    return one is not None and two is not None and _strips(one.plan) == _strips(two)


def _strips(plan: CuttingPlan) -> Counter[object]:
    owner = {cut.number: cut.inside or cut.number for cut in plan.cuts}
    inside: dict[int, list[tuple[Fraction, Fraction]]] = {}
    for cut in plan.cuts:
        strip = cut.number
        while owner[strip] != strip:
            strip = owner[strip]
        given = inside.setdefault(strip, [])
        if cut.kind == "piece":
            given.append((cut.width.value, cut.height.value))
    high = {cut.number: cut.height.value for cut in plan.cuts}
    return Counter((high[number], tuple(sorted(given))) for number, given in inside.items())


def judge_whole(plan: CuttingPlan, told: Iterable[int]) -> tuple[Fault, ...]:
    """List where pre-cuts are said to be used whole that are not, or the reverse.

    Parameters
    ----------
    plan : CuttingPlan
        How a fabric is cut.
    told : iterable of int
        Numbers of the pieces that are told to be whole pre-cuts.
    """
    form = plan.cloth.form
    area = None if form.height is None else form.width.value * form.height.value
    whole = {c.number for c in plan.cuts
             if c.kind == "piece" and c.width.value * c.height.value == area}  # fmt: skip
    return tuple(
        fault(FaultKind.WHOLE, fabric=plan.fabric, number=number) for number in whole ^ set(told)
    )

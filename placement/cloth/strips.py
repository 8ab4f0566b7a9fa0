"""Cut pieces from cloth: strips across, sub-cuts along, and what to do when it is short.

Every cut is two-stage guillotine cutting: strips run from edge to edge across
the cloth, sub-cuts from edge to edge of a strip. With stacking there is a third
stage: a column of a strip is cut into pieces one above the other. Every strip is
as high as some piece on the list; bounds hold for all plans of this form.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from placement.cloth.cutting import Cloth, CutKind, CuttingPlan, Fit, Piece
from placement.cloth.missing import kind_of, lacking, only, overhang, without_place
from placement.cloth.numbered_cuts import places
from placement.cloth.sheets import Sheets, share_out
from placement.cloth.solver.columns import Job, Strip, make_job
from placement.cloth.solver.greedy import total
from placement.cloth.solver.solve import Aim, Solved, fill, solve
from placement.cloth.yardage import SHRINKAGE, longest_usable, shop_step, to_buy
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Sequence

NONE = Inches(Fraction(0))
_LIGHT = 0.1
"""Effort on plans without stacking where stacking may do better."""


def cut(
    pieces: Sequence[Piece],
    cloth: Cloth,
    *,
    stacking: bool = True,
    effort: float = 1.0,
    squaring: Inches = NONE,
    shrinkage: Fraction = SHRINKAGE,
) -> CuttingPlan:
    """Return how to cut pieces from cloth, or by how much the cloth is short.

    For yardage without a length: the least length, and what to buy. Otherwise
    whether all pieces fit, without stacking if that is possible. The same input
    gives the same plan.

    Parameters
    ----------
    pieces : sequence of Piece
        What to cut from this cloth; fabrics are not compared.
    cloth : Cloth
        Its form, how many pieces of it, and for yardage its length if it is at hand.
    stacking : bool
        Whether a column of a strip may be cut into pieces one above the other.
    effort : float
        Search steps in proportion to the usual, above 0.
    squaring : Inches
        Cut off the end of each strip before its first sub-cut.
    shrinkage : Fraction
        Share of bought yardage lost in the wash.

    Raises
    ------
    ValueError
        If a piece has no size or no count, or there is no cloth or no effort.
    """
    _check(pieces, cloth, effort)
    if not pieces:
        return _plan(cloth, Fit.FITS)
    task = _Task(tuple(pieces), cloth, stacking, effort, squaring, Fraction(shrinkage))
    return task.least_length() if cloth.height is None else task.fit(cloth.height)


def _check(pieces: Sequence[Piece], cloth: Cloth, effort: float) -> None:
    """Refuse what can't be meant."""
    for piece in pieces:
        if not piece.width.value or not piece.height.value:
            raise ValueError(f"a piece ({piece.kind}) has no size yet; give its width and height")
        if piece.count < 1:
            raise ValueError(f"a piece ({piece.kind}) is wanted {piece.count} times; leave it out")
    if cloth.count < 1:
        raise ValueError(f"{cloth.count} pieces of cloth are no cloth; give 1 or more")
    if effort <= 0:
        raise ValueError(f"an effort of {effort} allows no search; give a number above 0")


def _plan(cloth: Cloth, verdict: Fit, **known: Any) -> CuttingPlan:
    """Make a plan in which everything that is not known is nothing."""
    usual = {
        "cuts": (), "used": NONE, "bound": NONE, "needed": NONE, "spare": NONE, "short": NONE,
        "missing": (), "buy": None, "waste": 0.0,
    }  # fmt: skip
    return CuttingPlan(fabric=cloth.fabric, cloth=cloth, verdict=verdict, **{**usual, **known})


@dataclass(frozen=True, slots=True)
class _Task:
    """One call's pieces, cloth and terms."""

    pieces: tuple[Piece, ...]
    """What to cut."""
    cloth: Cloth
    """What from."""
    stacking: bool
    """Whether stacks are allowed."""
    effort: float
    """Search steps in proportion to the usual."""
    squaring: Inches
    """Lost at the end of each strip."""
    shrinkage: Fraction
    """Lost in the wash."""

    def job(self, height: Inches | None) -> Job:
        width = self.cloth.form.width.value
        down = None if height is None else height.value
        return make_job(self.pieces, width, down, self.cloth.count, self.squaring.value)

    def least_length(self) -> CuttingPlan:
        """Cut from yardage that is still to be bought."""
        job = self.job(None)
        if job.homeless:
            return self.too_large(job, None)
        found, stacked = self.lowest(job, self.next_purchase(job))
        used = Inches(total(found.strips) * job.unit)
        buy = to_buy(used, shop_step(self.cloth.form), self.shrinkage)
        return _plan(
            self.cloth,
            _fits(stacked),
            **self.cuts(job, (found.strips,)),
            bound=Inches(found.bound * job.unit),
            needed=used,
            buy=buy,
        )

    def next_purchase(self, job: Job) -> Aim:
        """Aim at the longest strips for which less would be bought."""
        step = shop_step(self.cloth.form)

        def aim(height: int) -> int:
            buy = to_buy(Inches(height * job.unit), step, self.shrinkage)
            less = Inches(buy.value - step.value)
            return longest_usable(less, self.shrinkage).value // job.unit

        return aim

    def lowest(self, job: Job, aim: Aim) -> tuple[Solved, bool]:
        """Return the lowest strips and whether they are stacked: only if that is lower."""
        effort = self.effort * (_LIGHT if self.stacking else 1)
        plain = solve(job, stacking=False, effort=effort, aim=aim)
        if not self.stacking:
            return plain, False
        stacked = solve(job, stacking=True, effort=self.effort, aim=aim, start=plain.strips)
        if total(stacked.strips) < total(plain.strips):
            return stacked, _stacked(stacked.strips)
        return replace(plain, bound=min(stacked.bound, total(plain.strips))), False

    def fit(self, height: Inches) -> CuttingPlan:
        """Cut from cloth at hand."""
        # One sheet is solved as if it had no end: by how much it is short then shows.
        job = self.job(None if self.cloth.count == 1 else height)
        job = replace(job, height=height.value // job.unit)
        if job.homeless:
            return self.too_large(job, height)
        start: tuple[Strip, ...] = ()
        for stacking in (False, True) if self.stacking else (False,):
            found = solve(job, stacking=stacking, effort=self.effort, aim=_until(job), start=start)
            sheets = self.sheets(job, found.strips, stacking)
            if sheets is not None:
                return self.fitting(job, found, sheets, height)
            start = found.strips
        return self.falling_short(job, found, height)

    def sheets(self, job: Job, strips: Sequence[Strip], stacking: bool) -> Sheets | None:
        """Share strips out over the sheets; look for others if that is all that fails."""
        sheets, left = share_out(strips, job.height, job.sheets)
        if not left:
            return sheets
        if job.sheets == 1 or total(strips) > _capacity(job):
            return None
        filled = fill(job, stacking=stacking, effort=self.effort, start=strips)
        if lacking(job, filled.strips):
            return None
        sheets, left = share_out(filled.strips, job.height, job.sheets)
        return None if left else sheets

    def fitting(self, job: Job, found: Solved, sheets: Sheets, height: Inches) -> CuttingPlan:
        strips = [strip for sheet in sheets for strip in sheet]
        used = total(strips) * job.unit
        return _plan(
            self.cloth,
            _fits(_stacked(strips)),
            **self.cuts(job, sheets),
            bound=Inches(found.bound * job.unit),
            needed=Inches(used),
            spare=Inches(height.value * job.sheets - used),
        )

    def falling_short(self, job: Job, found: Solved, height: Inches) -> CuttingPlan:
        """Say by how much the cloth is short, and lay as much on it as fits."""
        if job.sheets == 1:
            found = solve(job, stacking=self.stacking, effort=self.effort, start=found.strips)
            if total(found.strips) <= _capacity(job):
                return self.fitting(job, found, (found.strips,), height)
        filled = fill(job, stacking=self.stacking, effort=self.effort, start=found.strips)
        sheets, _ = share_out(filled.strips, job.height, job.sheets)
        rest = lacking(job, [strip for rows in sheets for strip in rows])
        strips, bound = (Inches(n * job.unit) for n in (total(found.strips), found.bound))
        by = Inches(strips.value - height.value) if job.sheets == 1 else self.further(job, rest)
        short = filled.short or found.bound > _capacity(job)
        return _plan(
            self.cloth,
            Fit.SHORT if short else Fit.UNDECIDED,
            **self.cuts(job, sheets),
            bound=bound,
            needed=strips,
            short=by,
            missing=without_place(self.pieces, job, rest),
            sold_short=self.sold_short(strips),
        )

    def sold_short(self, strips: Inches) -> Inches | None:
        """Return what is missing of a pre-cut's height as sold: it is planned anew.

        More width can put more pieces in a strip, so the strips are not those of the
        usable size.
        """
        form = self.cloth.form
        if form.nominal_height is None or self.cloth.count > 1 or form.as_sold == form:
            return None
        whole = replace(self.cloth, form=form.as_sold)
        plan = cut(self.pieces, whole, stacking=self.stacking, effort=self.effort,
                   squaring=self.squaring, shrinkage=self.shrinkage)  # fmt: skip
        needed = min(strips.value, plan.needed.value)
        return Inches(max(Fraction(0), needed - form.nominal_height.value))

    def further(self, job: Job, rest: Counter[int]) -> Inches:
        """Return the height that the pieces without a place need on a sheet of their own."""
        found = solve(only(job, rest), stacking=self.stacking, effort=self.effort)
        return Inches(total(found.strips) * job.unit)

    def too_large(self, job: Job, height: Inches | None) -> CuttingPlan:
        """Name the piece that fits no way round, and lay the others."""
        kind = job.homeless[0]
        piece = next(p for p in self.pieces if kind_of(job, p) == kind)
        others = tuple(p for p in self.pieces if kind_of(job, p) not in job.homeless)
        plan = cut(others, self.cloth, stacking=self.stacking, effort=self.effort,
                   squaring=self.squaring, shrinkage=self.shrinkage)  # fmt: skip
        unlaid = Counter({at: job.kinds[at].count for at in job.homeless})
        return replace(
            plan,
            verdict=Fit.TOO_LARGE,
            spare=NONE,
            buy=None,
            short=overhang(piece, self.cloth.form.width, height),
            missing=(*plan.missing, *without_place(self.pieces, job, unlaid)),
            too_large=piece,
            sold_short=None,
        )

    def cuts(self, job: Job, sheets: Sheets) -> dict[str, Any]:
        """Return the cuts of strips, the height they use and its waste."""
        width = self.cloth.form.width
        cuts = places(job, sheets, self.pieces, width, self.squaring)
        used = sum(total(strips) for strips in sheets) * job.unit
        area = sum(c.width.value * c.height.value for c in cuts if c.kind is CutKind.PIECE)
        waste = float(1 - area / (used * width.value)) if used else 0.0
        return {"cuts": cuts, "used": Inches(used), "waste": waste}


def _fits(stacked: bool) -> Fit:
    return Fit.STACKED if stacked else Fit.FITS


def _stacked(strips: Sequence[Strip]) -> bool:
    return any(len(column) > 1 for strip in strips for column in strip.columns)


def _capacity(job: Job) -> int:
    return (job.height or 0) * job.sheets


def _until(job: Job) -> Aim:
    """Aim at strips that the sheets have height for; nothing lower is needed."""
    capacity = _capacity(job)
    return lambda height: capacity if height > capacity else 0

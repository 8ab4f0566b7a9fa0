"""Cut pieces from cloth: strips across, sub-cuts along, and what to do when it is short.

Every cut is two-stage guillotine cutting: strips run from edge to edge across
the cloth, sub-cuts from edge to edge of a strip. With stacking there is a third
stage: a column of a strip is cut into pieces one above the other. A strip is as
high as its first piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from placement.cloth import verdicts
from placement.cloth.columns import Job, Strip, make_job, size_key
from placement.cloth.cutting import Cloth, CuttingPlan, Piece
from placement.cloth.greedy import total
from placement.cloth.places import places
from placement.cloth.sheets import share_out
from placement.cloth.solve import solve
from placement.cloth.yardage import SHRINKAGE, shop_step, to_buy
from placement.inches import Inches

NONE = Inches(Fraction(0))


def cut(
    pieces: Sequence[Piece],
    cloth: Cloth,
    *,
    stacking: bool = True,
    effort: float = 1.0,
    squaring: Inches = NONE,
    shrinkage: Fraction = SHRINKAGE,
) -> CuttingPlan:
    """Return how to cut pieces from cloth, or by how much the cloth is short."""
    _check(pieces, cloth)
    if not pieces:
        return CuttingPlan(cloth.fabric, cloth, "fits", (), NONE, NONE, NONE, NONE, (), None, 0.0,
                           verdicts.nothing(cloth))  # fmt: skip
    height = cloth.length if cloth.form.open_ended else cloth.form.height
    down = None if height is None else height.value
    job = make_job(pieces, cloth.form.width.value, down, cloth.count, squaring.value)
    found = solve(job)
    sheets, left = share_out(found.strips, job.height, job.sheets)
    cuts = places(job, sheets, pieces, cloth.form.width, squaring)
    used = Inches(sum(total(strips) for strips in sheets) * job.unit)
    area = sum(c.width.value * c.height.value for c in cuts if c.kind == "piece")
    waste = float(1 - area / (used.value * cloth.form.width.value)) if used.value else 0.0
    bound = Inches(found.bound * job.unit)
    missing = _missing(job, pieces, left)
    if missing:
        by = Inches(total(left) * job.unit)
        takes = Inches(used.value + by.value)
        return CuttingPlan(cloth.fabric, cloth, "undecided", cuts, used, bound, NONE, by, missing,
                           None, waste, verdicts.undecided(cloth, takes, bound))  # fmt: skip
    if down is None:
        buy = to_buy(used, shop_step(cloth.form), shrinkage)
        return CuttingPlan(cloth.fabric, cloth, "fits", cuts, used, bound, NONE, NONE, (), buy,
                           waste, verdicts.needs(cloth, used, buy))  # fmt: skip
    spare = Inches(down * cloth.count - used.value)
    return CuttingPlan(cloth.fabric, cloth, "fits", cuts, used, bound, spare, NONE, (), None,
                       waste, verdicts.fits(cloth, spare, stacked=False))  # fmt: skip


def _check(pieces: Sequence[Piece], cloth: Cloth) -> None:
    """Refuse what can't be meant."""
    for piece in pieces:
        if not piece.width.value or not piece.height.value:
            raise ValueError(f"the {piece.name} has no size yet; give its width and height")
        if piece.count < 1:
            raise ValueError(f"the {piece.name} is wanted {piece.count} times; leave it out")
    if cloth.count < 1:
        raise ValueError(f"{cloth.count} pieces of cloth are no cloth; give 1 or more")


def _missing(
    job: Job, pieces: Sequence[Piece], left: Sequence[Strip]
) -> tuple[tuple[str, int], ...]:
    """Name the pieces of strips that find no place, and those that fit no way round."""
    counts: Counter[int] = Counter({kind: job.kinds[kind].count for kind in job.homeless})
    for strip in left:
        counts.update(strip.kinds(job))
    keys = {(kind.width, kind.height, kind.turn): index for index, kind in enumerate(job.kinds)}
    named: Counter[str] = Counter()
    for piece in reversed(pieces):
        kind = keys[size_key(piece, job.unit)]
        lost = min(piece.count, counts[kind])
        counts[kind] -= lost
        named[piece.name] += lost
    return tuple((name, count) for name, count in reversed(named.items()) if count)

"""What if: which finished sizes of a block use a form of cloth well.

For each size, how many blocks' feature pieces one piece of cloth holds, as sold
and as usable after squaring up: a trim of 1/4 in can cost a whole size.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.block import Block
from placement.cloth.cutting import Cloth, Fit, Piece
from placement.cloth.forms import Form
from placement.cloth.pieces import Terms, cutting_list
from placement.cloth.strips import cut
from placement.inches import Inches, Units
from placement.sizes import FIVE_MM
from placement.top.request import Doing, Progress, Stage, unwatched
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterator

    from placement.block import Block
    from placement.cloth.forms import Form

QUARTER_INCH = Inches(Fraction(1, 4))
_SINGLY = 10_000
"""More slices than any sheet gives: every piece is cut singly, not from a strip set."""
_EFFORT = 0.2


@dataclass(frozen=True, slots=True)
class Holding:
    """What one piece of cloth holds."""

    blocks: int
    """Blocks whose feature pieces it gives."""
    spare: Inches
    """Height left over below the strips; the whole height if it holds no block."""
    waste: float
    """Share of the cloth that is no piece, 0 to 1."""

    @property
    def whole(self) -> bool:
        """Whether the cloth is used to the last thread."""
        return self.blocks > 0 and self.waste < 1e-9


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One finished size of a block and what a form of cloth holds of it."""

    finished: Inches
    """Finished side of the block."""
    nominal: Holding
    """From the cloth as sold."""
    usable: Holding
    """From the cloth after squaring up."""
    on_ruler: bool
    """Whether all pieces can be cut along the ruler's eighths (5 mm in metric work)."""


def tried(units: Units) -> tuple[Inches, Inches]:
    """Return the finished sizes that are tried unless told: 4 to 12 in, or 10 to 30 cm."""
    least, most = ("10 cm", "30 cm") if units == "metric" else ("4", "12")
    return Inches.parse(least), Inches.parse(most)


def what_if(
    block: Block,
    form: Form,
    least: Inches,
    most: Inches,
    terms: Terms,
    step: Inches | None = None,
    progress: Progress = unwatched,
) -> tuple[WhatIf, ...]:
    """Return every finished size from ``least`` to ``most`` with what one piece of cloth holds.

    Strips and sub-cuts only, nothing stacked; pieces are cut singly.

    Parameters
    ----------
    block : Block
        Its feature pieces (every role but background) are counted.
    form : Form
        A form of cloth with a height.
    least, most : Inches
        Finished sizes; the first is ``least``, then it goes up by ``step``.
    terms : Terms
        Seam allowance, step of the ruler and how triangles are made: those of the pattern.
    step : Inches or None
        From one size to the next; None takes 1/4 in, or 5 mm where the ruler is metric.
    progress : Progress
        Told before each size is tried; raising inside it stops the work.

    Raises
    ------
    ValueError
        If the form is open-ended, or the sizes make no range.
    """
    if form.open_ended:
        raise ValueError(f"{form.kind} is cut to any length; choose a pre-cut for what-if")
    step = step or (terms.step if terms.step == FIVE_MM else QUARTER_INCH)
    if not least.value or not step.value or most < least:
        raise ValueError(
            f"sizes from {least} to {most} in steps of {step} make no range; "
            "give a smallest size above 0 and a largest one not below it"
        )
    singly = replace(terms, least_segments=_SINGLY)
    sides = tuple(Inches(side) for side in _sides(least, most, step))
    rows = []
    for done, side in enumerate(sides):
        progress(done / len(sides), Doing(Stage.TRY, str(side)))
        rows.append(_size(block, form, side, singly))
    return tuple(rows)


def _sides(least: Inches, most: Inches, step: Inches) -> Iterator[Fraction]:
    side = least.value
    while side <= most.value:
        yield side
        side += step.value


def _size(block: Block, form: Form, side: Inches, terms: Terms) -> WhatIf:
    usable = _holding(block, form, side, terms)
    nominal = usable if form.as_sold == form else _holding(block, form.as_sold, side, terms)
    sides = [
        cut for p in feature_pieces(block, side, 1, form, terms) for cut in (p.width, p.height)
    ]
    return WhatIf(side, nominal, usable, all(cut.value % terms.step.value == 0 for cut in sides))


def feature_pieces(
    block: Block, side: Inches, blocks: int, form: Form, terms: Terms
) -> tuple[Piece, ...]:
    """Return the pieces of everything but the background for so many blocks of one fabric."""
    layout = Layout(Setting("straight", blocks, 1, side), ("feature",) * blocks)
    widths = {"feature": form.width, "background": form.width}
    made = cutting_list(layout, block, "background", widths, terms)
    return tuple(piece for piece in made.pieces if piece.fabric == "feature")


def _holding(block: Block, form: Form, side: Inches, terms: Terms) -> Holding:
    """Return the most blocks that one piece of cloth holds, by doubling and halving."""
    height = form.height or Inches(Fraction(0))
    best = Holding(0, height, 1.0)
    step, rising = 1, True
    while step:
        found = _try(block, form, side, terms, best.blocks + step)
        best = found or best
        rising = rising and found is not None
        step = step * 2 if rising else step // 2
    return best


def _try(block: Block, form: Form, side: Inches, terms: Terms, blocks: int) -> Holding | None:
    """Return the holding of that many blocks; None if they do not fit."""
    pieces = feature_pieces(block, side, blocks, form, terms)
    height = form.height.value if form.height else Fraction(0)
    whole = form.width.value * height
    area = sum(piece.width.value * piece.height.value * piece.count for piece in pieces)
    if not pieces or area > whole:
        return None
    plan = cut(pieces, Cloth("feature", form), stacking=False, effort=_EFFORT)
    if plan.verdict is not Fit.FITS:
        return None
    return Holding(blocks, plan.spare, float(1 - area / whole))

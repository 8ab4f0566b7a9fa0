"""The plan in words: what is printed, shown beside the quilt, and read aloud."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.swatch import ASSUMED_WIDTH
from api.pattern.threads import threads
from api.pattern.turning import pressing
from api.wording.apart import apart, how_far
from api.wording.contrasts import on_background
from api.wording.english import agree, length, listed, lowered, number, quoted, tenths
from api.wording.eyes import colour_blind
from api.wording.layout import cause, problem
from api.wording.lengths import Lengths
from api.wording.patches import large_prints
from api.wording.picks import obstacle, picked
from api.wording.promises import unkept
from api.wording.threads import judged
from palette.picking.choice import Verdict

if TYPE_CHECKING:
    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from placement.top.request import Quality
    from placement.top.setting.layout import Layout


def summary(plan: Plan) -> tuple[str, ...]:
    """Return the plan in sentences, the most important first."""
    lines = [_size(plan.brief)] if plan.layout else []
    lines.append(on_background(plan))
    if plan.choice:
        lines += picked(plan)
        lines += large_prints(plan)
        lines += _second(plan, plan.choice.kept)
    if plan.layout and plan.quality:
        lines += neighbours(plan, plan.quality)
        lines += _turning(plan, plan.layout)
    lines += colour_blind(plan)
    lines += _thread(plan)
    lines += _assumption(plan.brief)
    return (*lines, *problems(plan))


def problems(plan: Plan) -> list[str]:
    """Say everything that stands in the way."""
    if plan.choice is None:
        return ["There are no fabrics yet: add photos of your bundle."]
    unmet = (obstacle(plan, entry) for entry in plan.choice.problems)
    return [*unmet, *(problem(plan, entry) for entry in plan.problems)]


def neighbours(plan: Plan, quality: Quality) -> list[str]:
    """Say how different a layout's neighbours are, and how far apart one fabric lies."""
    lines = []
    if quality.closest_cells is not None:
        line = f"Blocks side by side differ by at least {apart(quality.closest)}"
        if quality.proved:
            line += f"; {quality.bound:.1f} is the most that any layout of these can reach"
        elif quality.bound > quality.closest:
            line += f"; {quality.reach:.1f} can be reached and more than {quality.bound:.1f} can't"
        lines.append(line + ".")
    if quality.cause:
        lines.append(cause(plan, quality.cause))
    if quality.copies_apart:
        lines.append(
            f"Two blocks of one fabric are at least {quality.copies_apart:.1f} block sides apart."
        )
    return [*lines, *unkept(quality)]


def gist(quality: Quality) -> str:
    """Say in a few words how different a layout's neighbours are."""
    return f"neighbours {tenths(quality.closest)} apart, {how_far(quality.closest)}"


def _size(brief: Brief) -> str:
    setting = brief.setting
    width, height = (length(side, brief.units) for side in brief.size())
    block = length(float(setting.block_size), brief.units)
    name = brief.pattern().name.lower()
    pieced = number(len(setting.cells()), f"{name} block")
    plain = f" and {number(len(setting.plain_cells()), 'plain block')}" if setting.alternate else ""
    where = "on point" if setting.kind == "on point" else "set straight"
    where += sashed(brief)
    return (
        f"{pieced}{plain} of {block}, {where}, {setting.across} across and {setting.down} down: "
        f"a quilt of {width} x {height}{_borders(brief)}."
    )


def sashed(brief: Brief, *, printed: bool = False) -> str:
    """Say what sashing there is, after a comma; '' without."""
    setting = brief.setting
    if not setting.sashing.value:
        return ""
    width = Lengths(brief.units, printed).finished(float(setting.sashing))
    return f", with {width} sashing{' and cornerstones' * setting.cornerstones}"


def _borders(brief: Brief) -> str:
    widths = [length(float(band.width), brief.units) for band in brief.borders]
    if not widths:
        return ""
    if len(widths) == 1:
        return f" with a {widths[0]} border"
    return f" with borders of {listed(widths)}"


_SECOND = {
    Verdict.LOST: "sinks into the background",
    Verdict.CAMOUFLAGE: "half melts into the background",
    Verdict.SOFT: "stands out only softly from the background",
}


def _second(plan: Plan, kept: tuple[str, ...]) -> list[str]:
    """Hold the second feature's own fabric against the background and the chosen fabrics."""
    second = plan.brief.second_fabric
    if not second or not plan.background or not plan.brief.pattern().has("S"):
        return []
    from palette.picking.contrast import judge

    fabric = plan.swatch(second).fabric
    ground = plan.swatch(plan.background).fabric
    (stand,) = judge([fabric], [ground], plan.brief.limits)
    lines = []
    if stand.verdict in _SECOND:
        lines.append(f"The second feature, {quoted(fabric.name)}, {_SECOND[stand.verdict]}.")
    others = [plan.swatch(name).fabric for name in kept if name != second]
    like = sum(c.verdict == Verdict.LOST for c in judge(others, [fabric], plan.brief.limits))
    if like:
        lines.append(
            f"{number(like, 'fabric')} {agree(like, 'is', 'are')} too like {quoted(fabric.name)}: "
            "in their blocks both features read as one."
        )
    return lines


def _turning(plan: Plan, layout: Layout) -> list[str]:
    if plan.brief.setting.sashing.value:
        return ["Press every seam beside sashing toward it: all of them nest, no block is turned."]
    if layout.turned:
        by = "half" if layout.turn == 180 else "a quarter"
        many = len(layout.turned)
        blocks = f"{number(many, 'block')} {agree(many, 'is', 'are')}"
        return [(f"{blocks} turned {by} round, so that seams meet and nest; the look of the block "
                "does not change.")]  # fmt: skip
    if len(pressing(plan, layout).plans) == 1:
        return []
    why = ": some prints have an up and a down" if plan.directional else ""
    return [f"No block is turned{why}. Press every other block the other way, so that seams nest."]


def _thread(plan: Plan) -> list[str]:
    chosen = threads(plan).of(plan.brief.thread) if plan.brief.thread else None
    if chosen is None:
        return []
    return [f"Quilted with {quoted(chosen.thread.name)}: {lowered(judged(chosen))}"]


def _assumption(brief: Brief) -> list[str]:
    assumed = sum(not swatch.shows_given for swatch in (*brief.swatches, *brief.backgrounds))
    if not assumed:
        return []
    shown = length(float(ASSUMED_WIDTH), brief.units)
    return [
        f"{number(assumed, 'photo')} taken to show {shown} of cloth across; tell the real width."
    ]

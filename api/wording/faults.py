"""What the judges found, in sentences: one for each kind of fault, with its facts."""

from __future__ import annotations

from string import Formatter
from typing import TYPE_CHECKING, Any

from api.wording.english import number, quoted
from placement.checks.fault import Fault, FaultKind
from placement.inches import MM_PER_INCH, Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan

CHECKED = "Checked: every piece lies on its cloth."
"""What stands where the judges found nothing, and all cloth suffices."""

SHORT = "Checked: what is cut lies on its cloth; not all cloth suffices."
"""The same where some cloth is short."""

_K = FaultKind

SENTENCES: dict[FaultKind, str] = {
    _K.CELLS_COUNTED: "The setting counts {counted} blocks and lists {found}.",
    _K.CELL_TWICE: "{cell:cell} is listed twice.",
    _K.CELL_MISSING: "{cell:cell} is missing from the setting.",
    _K.CELL_BEYOND: "{cell:cell} is no place of this setting.",
    _K.CELL_ORDER: "{cell:cell} is listed out of order.",
    _K.CELL_MOVED: "{cell:cell} lies {off:length} from its place.",
    _K.TRIANGLES_COUNTED: "The setting counts {said} setting triangles; there is room for {found}.",
    _K.SIZE_OF_TOP: "A side of the top is told as {said:length}; it is {found:length}.",
    _K.AREA: "Blocks, sashing and triangles cover {covered:.2f} square inches of {whole:.2f}.",
    _K.TOUCH: "How {first:cell} and {second:cell} touch is told wrongly.",
    _K.LAYOUT_LENGTH: "The layout has {said} cells; the setting has {found}.",
    _K.UNKNOWN_FABRIC: "{cell:cell} holds {fabric:fabric}, which is none of the picks.",
    _K.HOLE_FILLED: "{cell:cell} should be left plain; it holds {fabric:fabric}.",
    _K.CELL_EMPTY: "{cell:cell} is empty.",
    _K.SHARE: "{fabric:fabric} fills {found} cells; it should fill {least} to {most}.",
    _K.PIN_MOVED: "{cell:cell} is locked to {fabric:fabric}; it holds {found:fabric}.",
    _K.BANNED: "{cell:cell} must not hold {fabric:fabric}.",
    _K.ALIKE: "{first:cell} and {second:cell} hold {fabric:fabric} and {other:fabric}, which "
    "differ by {apart:.1f}; at least {limit:.1f} is wanted.",
    _K.CLOSEST: "Blocks side by side are said to differ by at least {said:.1f}; it is {found:.1f}.",
    _K.CLOSEST_CELLS: "{first:cell} and {second:cell} are said to be the neighbours that differ "
    "least; they are not.",
    _K.CLOSEST_UNTOLD: "Blocks side by side differ by at least {found:.1f}; nothing is said of it.",
    _K.COPIES_APART: "Two blocks of one fabric are said to be at least {said:.1f} block sides "
    "apart; it is {found:.1f}.",
    _K.REACH: "Neighbours are said to reach {said:.1f}; they differ by {found:.1f}, and can't by "
    "more than {bound:.1f}.",
    _K.PROMISE: "Of the layout's promises that of {promise} is told wrongly.",
    _K.TURNED_NOTHING: "Cell {number} is turned; no block lies in it.",
    _K.TURNED_ALIKE: "{first:cell} and {second:cell} share an edge and are both {turned:turned}.",
    _K.TURNED_IDLY: "{count} blocks are turned; the pressing turns none.",
    _K.TURN: "Blocks are turned by {said} degrees; the pressing asks for {found}.",
    _K.PICK_PARTS: "{fabric:fabric} must be either used or left out.",
    _K.PICK_WISH: "{fabric:fabric} is not used, or not left out, as it is marked.",
    _K.PICK_TWINS: "{fabric:fabric} and {other:fabric} are both used; they are only {found:.1f} "
    "apart.",
    _K.PICK_CLOSEST: "The two fabrics most alike are said to differ by {said:.1f}; it is "
    "{found:.1f}.",
    _K.PICK_BETTER: "{fabric:fabric} in place of {other:fabric} gives {found:.1f}; no choice is "
    "said to be better.",
    _K.PICK_BOUND: "No choice is said to come past {said:.1f}; this one has {found:.1f}.",
    _K.PICK_NOT_USED: "{fabric:fabric} is held against {other:fabric}, which is not used.",
    _K.PICK_REASON: "{fabric:fabric} is left out with a reason that does not hold: {said}.",
    _K.PICK_MEASURE: "{fabric:fabric} is told with {said:.1f}; it is {found:.1f}.",
    _K.PATCHES_LEAD: "A colour of {fabric:fabric} is said to lead in {said:.0%} of its patches; "
    "cut from its picture, in {found:.0%}.",
    _K.PATCHES_APART: "Patches of {fabric:fabric} are said to differ by {said:.1f}; cut from its "
    "picture, by {found:.1f}.",
    _K.PATCHES_SINK: "Of {fabric:fabric} {said:.0%} of the patches are said to sink; cut from its "
    "picture, {found:.0%}.",
    _K.SEAM_SIDES: "In blocks from the top left, at {across:.3g} across and {down:.3g} down, two "
    "seams in line are pressed to the same side.",
    _K.GOOSE_BOTH_WAYS: "The flying goose at {across:.3g} across and {down:.3g} down is pressed "
    "both ways.",
    _K.PLAN_LENGTH: "The pressing tells {said} sides for {found} seams.",
    _K.SEAM_OFF: "The seam from {across:.3g} across and {down:.3g} down does not part the cloths "
    "that it says.",
    _K.TOWARD_DARK: "{said:.1%} of the seams are said to be pressed to the dark; {found:.1%} are.",
    _K.UNIT_SMALL: "No unit ({unit}, {method}) of its size comes of pieces of {width:length} x "
    "{height:length}.",
    _K.UNIT_LARGE: "Units ({unit}, {method}) come of smaller pieces than {width:length} x "
    "{height:length}.",
    _K.UNIT_COUNT: "{wanted} units ({unit}) are needed for the blocks of {fabric:fabric}; what is "
    "cut gives {found}, or more than it must.",
    _K.UNIT_TURNED: "Units ({unit}) for the blocks of {fabric:fabric} turn a print that has an up.",
    _K.UNIT_METHOD: "Units ({unit}) are not made as asked ({method}), or why is told wrongly.",
    _K.UNIT_UNKNOWN: "A way to make units ({unit}) is told that the block does not take.",
    _K.UNIT_PIECES: "{wanted} pieces of {fabric:fabric} of {width:length} x {height:length} "
    "({piece:piece}) are needed for units; {found} are cut.",
    _K.METHODS_TOLD: "{said} ways to make units are told side by side; there are {found}.",
    _K.METHOD_TOLD: "Of units ({unit}) made {method}, {said:.4g} is told where it is {found:.4g}.",
    _K.NO_PART: "No part of the top is made from {fabric:fabric}, {piece:piece}, {width:length} x "
    "{height:length}.",
    _K.PARTS: "{wanted} parts of {fabric:fabric} that measure {one:length} x {two:length} "
    "({shape}) lie in the top; {found} are cut.",
    _K.SETS_SHARED: "{slices} slices with {fabric:fabric} are needed; the strip sets give {found}.",
    _K.SET_STRIPS: "{wanted} strips of {fabric:fabric} {width:length} wide are needed for strip "
    "sets; {found} are cut.",
    _K.SET_STRIP_SHORT: "A strip of {fabric:fabric} {width:length} wide is too short for its "
    "slices.",
    _K.LONG_WIDTH: "Long sashing of {fabric:fabric} is cut {width:length} wide ({piece:piece}).",
    _K.LONG_REACH: "Long sashing of {fabric:fabric} does not reach across the top.",
    _K.LONG_SHORT: "Long sashing of {fabric:fabric} takes {wanted:length}; {found:length} is cut.",
    _K.LONG_SPARE: "More strips of {fabric:fabric} are cut for long sashing than it takes.",
    _K.BORDERS_ASKED: "{said} borders are asked for or cut; {found} are told.",
    _K.BORDER_ASKED: "Border {number} has another width or fabric than asked for.",
    _K.BORDER_CORNER: "The corners of a border are made in another way than asked for.",
    _K.BORDER_CUT: "Border {number} is cut {said:length} wide; it takes {wanted:length}.",
    _K.BORDER_SIDES: "The sides of border {number} are {said:length}; they must be "
    "{wanted:length}.",
    _K.BORDER_ENDS: "Top and bottom of border {number} are {said:length}; they must be "
    "{wanted:length}.",
    _K.BORDER_SIZE: "With border {number} the quilt must measure {width:length} x {height:length}.",
    _K.BORDER_STRIPS: "No strips of {fabric:fabric} {width:length} wide are cut for border "
    "{number}.",
    _K.BORDER_GRAIN: "The strips of border {number} may be cut off their grain.",
    _K.BORDER_SHORT: "{count} strips of border {number} do not make {wanted:length}.",
    _K.BORDER_SPARE: "{count} strips of border {number} are more than {wanted:length} takes.",
    _K.BINDING_LENGTH: "The binding is {said:length} long; it must be {wanted:length}.",
    _K.BINDING_WIDTH: "The binding is cut {said:length} wide; {wanted:length} is asked for.",
    _K.BINDING_PIECES: "{said} pieces make the binding; {found} are cut.",
    _K.BINDING_SIZE: "What is cut for the binding has another size than told, or another grain.",
    _K.BINDING_FABRIC: "The binding is cut from {said:fabric}; {fabric:fabric} is asked for.",
    _K.BINDING_CLOTH: "The binding is said to take {said:length} of cloth; it takes "
    "{wanted:length}.",
    _K.BINDING_SHORT: "{found:length} of binding is cut; it takes {wanted:length}.",
    _K.BINDING_SPARE: "{count} pieces are more than the binding takes.",
    _K.BACKING_FABRIC: "The backing is of {said:fabric}; {fabric:fabric} is asked for.",
    _K.BACKING_COVER: "A backing of {count} lengths of {length:length} does not cover the quilt "
    "and its margin, or takes a length too many.",
    _K.BACKING_CLOTH: "The backing is said to take {said:length}; it takes {wanted:length}.",
    _K.BACKING_SAVING: "A margin of {said:length} is told wrongly to save a length of backing.",
    _K.BACKING_NONE: "No way to piece a backing is told.",
    _K.BATTING: "A side of the batting is {said:length}; it must be {wanted:length}.",
    _K.SETTING_SQUARES: "Squares are told for {said} setting triangles; the top takes {found}.",
    _K.SETTING_SQUARE: "A square for setting triangles is told as {said:length}; it must be "
    "{wanted:length}.",
    _K.SASHING: "Of the sashing {said:.4g} is told; it must be {found:.4g}.",
    _K.OWN_SQUARES: "{said} squares of your own size are asked for; {found} are told of.",
    _K.POINT_LOSS: "Of a square of your own size {said:length} is told; it must be "
    "{wanted:length}.",
    _K.WASHED: "{fabric:fabric} is cut {said:length} wide; {found:length} is left when washed.",
    _K.BOUGHT: "Of {bought:length} bought of {fabric:fabric}, {left:length} is left; {used:length} "
    "is used.",
    _K.BOUGHT_STEP: "{bought:length} of {fabric:fabric} is a length that shops do not cut.",
    _K.BOUGHT_SPARE: "{bought:length} of {fabric:fabric} is more than {used:length} takes.",
    _K.CUT_NUMBERS: "The cuts of {fabric:fabric} are not numbered 1, 2, 3 and so on.",
    _K.STRIP_LATE: "A strip of {fabric:fabric} is cut after a sub-cut; strips come first.",
    _K.STRIP_ABOVE: "Of {fabric:fabric} strip {first} lies above strip {second}, which is cut "
    "before it.",
    _K.SHEET: "Of {fabric:fabric} cut {number} is on piece {sheet} of {count}.",
    _K.OFF_SIDE: "Cut {number} passes the side of the cloth of {fabric:fabric}.",
    _K.OFF_END: "Cut {number} passes the end of the cloth of {fabric:fabric}.",
    _K.STRIP_ACROSS: "Strip {number} does not run right across the cloth of {fabric:fabric}.",
    _K.PARENT: "Of {fabric:fabric} cut {number} is inside {inside}, which is no strip before it.",
    _K.OTHER_SHEET: "Of {fabric:fabric} cut {number} is on another piece of cloth than {inside}.",
    _K.PAST_SIDES: "Of {fabric:fabric} cut {number} passes the sides of {inside}.",
    _K.PAST_ENDS: "Of {fabric:fabric} cut {number} passes top or bottom of {inside}.",
    _K.NOT_FROM_TOP: "Of {fabric:fabric} cut {number} does not start at the edge of strip "
    "{inside}.",
    _K.NOT_FROM_LEFT: "Of {fabric:fabric} cut {number} does not start at the edge of stack "
    "{inside}.",
    _K.STACK_SPAN: "Of {fabric:fabric} stack {number} does not span its strip.",
    _K.OVERLAP: "Of {fabric:fabric} pieces {first} and {second} overlap.",
    _K.NO_CUT_PARTS: "Of {fabric:fabric} no straight cut parts {first} from {second}.",
    _K.CUT_TOO_MANY: "Of {fabric:fabric}, {piece:piece}, {found} of {width:length} x "
    "{height:length} are cut; {wanted} are wanted.",
    _K.CUT_COUNT: "Of {fabric:fabric}, {piece:piece}, {wanted} are wanted; {found} are cut and "
    "{missing} reported missing.",
    _K.LIES_WRONG: "Of {fabric:fabric} piece {number}, {piece:piece}, {width:length} x "
    "{height:length}, may not lie as it does.",
    _K.USED: "The strips of {fabric:fabric} take {found:length}; {said:length} is told.",
    _K.FITS_MISSING: "All of {fabric:fabric} is said to fit, and pieces to be missing.",
    _K.BOUND: "No plan for {fabric:fabric} is said to take less than {bound:length}; this one "
    "takes {used:length}.",
    _K.SHORT_UNSAID: "{fabric:fabric} is said to be short, but not by how much and for what.",
    _K.VERDICT: "Of {fabric:fabric} it is said '{verdict}', which its cuts contradict.",
    _K.WASTE: "{found:.1%} of the cloth of {fabric:fabric} is waste; {said:.1%} is told.",
    _K.SPARE: "{found:length} of {fabric:fabric} is left; {said:length} is told.",
    _K.SET_STRIP_CUT: "Strip {number} of {fabric:fabric}, {width:length} long, is too short for "
    "the slices of its set.",
    _K.HANDWORK: "Cutting {fabric:fabric} takes {found} {measure}; {said} are told.",
    _K.NO_SIMPLER: "The simplest plan of {fabric:fabric} takes {said} {measure}, the least cloth "
    "{found}.",
    _K.LEAST_NO_SIMPLER: "The plan of least cloth of {fabric:fabric} asks for more than the "
    "simplest, which takes no more cloth.",
    _K.ALLOWANCE: "The simplest plan of {fabric:fabric} costs {found:length} more; {said:length} "
    "is allowed.",
    _K.CUT_LIKE: "{fabric:fabric} is said to be cut like {other:fabric}, and is not.",
    _K.LIKE_UNASKED: "{fabric:fabric} is cut like {other:fabric}; each fabric should have its own "
    "plan.",
    _K.SURPLUS: "Of {fabric:fabric}, cut like another fabric, {said} pieces are said to be over "
    "({piece:piece}); {found} are, or they do not serve.",
    _K.TWO_GRAINS: "Of {fabric:fabric} pieces of {width:length} x {height:length} lie both ways.",
    _K.SET_TURNED: "Strip {number} of {fabric:fabric}, for a strip set, does not run across the "
    "cloth.",
    _K.TRIMMED: "Strip {number} of {fabric:fabric}, for a strip set, is trimmed for nothing.",
    _K.OFF_FOLD: "Half strip {number} of {fabric:fabric} is not cut at the fold.",
    _K.LINE_STRIPS: "Instructions for {fabric:fabric} tell of {said} strips; {found} are cut.",
    _K.LINE_HEIGHT: "Strips of {fabric:fabric} that are told as {said:length} high are not.",
    _K.LINE_PIECES: "Instructions for {fabric:fabric} tell of {said} pieces where {found} are cut, "
    "or wrongly how many come from a strip.",
    _K.LINE_FOLD: "Strips of {fabric:fabric} {said:length} high are told wrongly as whole or "
    "halved.",
    _K.UNCUT: "Pieces of {fabric:fabric} are wanted, but no cloth is cut for them.",
    _K.ALTERNATES: "{said} other forms of cloth are told of; {found} were asked for.",
    _K.ALTERNATE_FORM: "Of a {form} the sides, or how it lies, are told wrongly.",
    _K.ALTERNATE_BLOCKS: "{said} blocks from a {form} are told wrongly: {found}.",
    _K.ALTERNATE_CUTS: "The cuts of {said} blocks do not lie on a {form} ({found}).",
    _K.ALTERNATE_PIECES: "{said} pieces of the form {form} are told; {found} are found.",
    _K.ALTERNATE_SAME: "Whether a {form} is cut like the usual form is told wrongly.",
    _K.WHOLE: "Whether piece {number} of {fabric:fabric} is a whole pre-cut is told wrongly.",
    _K.CLOTHS_SHARED: "What is asked of the cloths of {fabric:fabric} is not what is cut of it.",
    _K.AT_HAND: "Of {fabric:fabric} {said} pieces are said to be at hand; it is {found}.",
    _K.NEEDED: "What is said to be needed of {fabric:fabric} is not what is cut of it.",
    _K.TO_BUY: "What is said to be missing of {fabric:fabric} is not what is needed less what is "
    "at hand.",
    _K.NEED_UNMET: "Pieces of {fabric:fabric} are cut neither from what is at hand nor from what "
    "is bought, or twice.",
    _K.NEED_FABRIC: "The shopping list names another fabric or form than {fabric:fabric} is cut "
    "from.",
    _K.NEEDS_COUNTED: "The shopping list has {said} cloths; {found} are cut.",
    _K.BACKING_NEED: "{said} lengths of the backing are said to be at hand, {found} are; "
    "{bought:length} is not what is missing.",
    _K.OWN_FORM: "{fabric:fabric} is cut from another form of cloth than the plan says.",
    _K.BED_UNCOVERED: "A side of {said:length} does not cover the bed with its drop, "
    "{wanted:length}.",
    _K.BED_SIDE: "A side is told as {said:length}; blocks and borders make {found:length}.",
    _K.BED_WIDE: "Borders of {said:length} are not what the bed takes.",
    _K.BED_BLOCKS: "{said} blocks in a row are not the nearest to what the bed takes.",
    _K.BED_WANTED: "The bed with its drop is told as {said:length}; it measures {found:length}.",
    _K.UNSAID: "The print does not say: {words}.",
    _K.UNKNOWN_LENGTH: "The print says {words}, a length that the plan does not know.",
    _K.STEPS_CUT: "The printed steps cut {said} of {words}; the plan cuts {found}.",
}
"""Every kind of fault; facts are written by the kind of fact that follows the colon."""


class _Words(Formatter):
    """Writes facts as people of the trade do, names instead of ids."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan

    def format_field(self, value: Any, format_spec: str) -> Any:
        writer = getattr(self, f"_{format_spec}", None) if format_spec.isalpha() else None
        return writer(value) if writer else super().format_field(value, format_spec)

    def _fabric(self, fabric: object) -> str:
        try:
            return quoted(self._plan.swatch(str(fabric)).fabric.name)
        except KeyError:
            return quoted(str(fabric)) if fabric else "nothing"

    def _length(self, length: Inches | float) -> str:
        if self._plan.brief.units == "metric":
            return f"{round(float(length) * float(MM_PER_INCH) / 10, 3):g} cm"
        return f"{length} in" if isinstance(length, Inches) else f"{round(length, 4):g} in"

    def _cell(self, cell: object) -> str:
        return str(cell)

    def _piece(self, piece: object) -> str:
        return str(piece)

    def _turned(self, turned: object) -> str:
        return "turned" if turned else "upright"


def sentence(plan: Plan, fault: Fault) -> str:
    """Say one fault.

    Parameters
    ----------
    plan : Plan
        The plan it is a fault of, for the names of fabrics and for units.
    fault : Fault
        What was found.
    """
    words = _Words(plan).vformat(SENTENCES[fault.kind], (), dict(fault.facts))
    return words[:1].upper() + words[1:]


def sentences(plan: Plan, faults: Iterable[Fault]) -> tuple[str, ...]:
    """Say faults, each once, in their order."""
    return tuple(dict.fromkeys(sentence(plan, fault) for fault in faults))


def refusal(plan: Plan, faults: Sequence[Fault]) -> str:
    """Say that nothing is told of a plan's cutting, and why.

    Parameters
    ----------
    plan : Plan
        The plan.
    faults : sequence of Fault
        What was found, at least one.
    """
    said = sentences(plan, faults)
    rest = f" (and {number(len(said) - 1, 'more fault')})" if len(said) > 1 else ""
    return (
        f"The check of this plan found a fault, so that nothing is cut by it: "
        f"{said[0].rstrip('.')}{rest}. 'spreadwell check' lists every fault."
    )


def verdict(book: CutBook) -> str:
    """Say that the judges found no fault with a cut book."""
    return SHORT if book.problems else CHECKED

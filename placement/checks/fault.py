"""A fault as a value: its kind, and the numbers, places and ids that it speaks of.

Judges say what is wrong in facts; the words for them belong to whoever shows them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from placement.inches import Inches
from placement.top.setting.setting import Cell

Fact = int | float | str | Inches | Cell
"""A count, a finished length in inches, an id, a length to cut, or a place in the top."""


class FaultKind(StrEnum):
    """What can be wrong. The facts that go with each kind stand beside it."""

    # The setting.
    CELLS_COUNTED = "cells counted"
    """counted, found: blocks that the setting counts, and cells it lists."""
    CELL_TWICE = "cell twice"
    """cell."""
    CELL_MISSING = "cell missing"
    """cell: pieced or plain, but not listed as such."""
    CELL_BEYOND = "cell beyond"
    """cell: listed, but not of the setting."""
    CELL_ORDER = "cell order"
    """cell: listed out of order, the rows from the top."""
    CELL_MOVED = "cell moved"
    """cell, off: its middle lies so far from where it must."""
    TRIANGLES_COUNTED = "triangles counted"
    """said, found: setting triangles."""
    SIZE_OF_TOP = "size of top"
    """said, found: width or height of the centre."""
    AREA = "area"
    """covered, whole: square inches."""
    TOUCH = "touch"
    """first, second: cells whose touch is told wrongly."""

    # The layout.
    LAYOUT_LENGTH = "layout length"
    """said, found: cells of the layout and of the setting."""
    UNKNOWN_FABRIC = "unknown fabric"
    """cell, fabric."""
    HOLE_FILLED = "hole filled"
    """cell, fabric."""
    CELL_EMPTY = "cell empty"
    """cell."""
    SHARE = "share"
    """fabric, found, least, most: cells that it fills, and may."""
    PIN_MOVED = "pin moved"
    """cell, fabric, found."""
    BANNED = "banned"
    """cell, fabric."""
    ALIKE = "alike"
    """first, second, fabric, other, apart, limit."""
    TURNED_NOTHING = "turned nothing"
    """number: a turned cell in which no block lies."""
    TURNED_ALIKE = "turned alike"
    """first, second, turned: two blocks that share an edge, both turned (1) or neither (0)."""
    TURNED_IDLY = "turned idly"
    """count: blocks turned although the pressing turns none."""
    TURN = "turn"
    """said, found: degrees."""

    # Pressing.
    SEAM_SIDES = "seam sides"
    """across, down: place in block sides where two seams in line are pressed to one side."""
    GOOSE_BOTH_WAYS = "goose both ways"
    """across, down."""
    PLAN_LENGTH = "plan length"
    """said, found: choices of a pressing plan, and seams."""
    SEAM_OFF = "seam off"
    """across, down: a seam that lies along no edge of a patch, or whose sides are told wrongly."""
    TOWARD_DARK = "toward dark"
    """said, found: share of the seams' length pressed to the darker cloth."""

    # What is cut.
    NO_PART = "no part"
    """fabric, piece, width, height: no part of the top is cut so."""
    PARTS = "parts"
    """fabric, shape, one, two, wanted, found."""
    SETS_SHARED = "sets shared"
    """fabric, slices, found: slices asked for, and given by the sets."""
    SET_STRIPS = "set strips"
    """fabric, width, wanted, found: strips of one width for strip sets."""
    SET_STRIP_SHORT = "set strip short"
    """fabric, width."""
    LONG_WIDTH = "long width"
    """fabric, piece, width."""
    LONG_REACH = "long reach"
    """fabric."""
    LONG_SHORT = "long short"
    """fabric, wanted, found: inches of joined sashing."""
    LONG_SPARE = "long spare"
    """fabric."""

    # Around the blocks.
    BORDERS_ASKED = "borders asked"
    """said, found: borders asked for, and made."""
    BORDER_ASKED = "border asked"
    """number: a border of another width or fabric than asked for."""
    BORDER_CUT = "border cut"
    """number, said, wanted: width to cut."""
    BORDER_SIDES = "border sides"
    """number, said, wanted."""
    BORDER_ENDS = "border ends"
    """number, said, wanted."""
    BORDER_SIZE = "border size"
    """number, width, height: the quilt's size with it must be this."""
    BORDER_STRIPS = "border strips"
    """number, fabric, width: no strips of that width are cut."""
    BORDER_GRAIN = "border grain"
    """number."""
    BORDER_SHORT = "border short"
    """number, count, wanted: strips that do not make so many inches."""
    BORDER_SPARE = "border spare"
    """number, count, wanted."""
    BINDING_LENGTH = "binding length"
    """said, wanted."""
    BINDING_PIECES = "binding pieces"
    """said, found: pieces that make it, and are cut."""
    BINDING_SIZE = "binding size"
    """Nothing: its pieces have another size or grain than it says."""
    BINDING_FABRIC = "binding fabric"
    """fabric, said."""
    BINDING_CLOTH = "binding cloth"
    """said, wanted: length of cloth that its pieces take."""
    BINDING_SHORT = "binding short"
    """found, wanted."""
    BINDING_SPARE = "binding spare"
    """count."""
    BACKING_COVER = "backing cover"
    """count, length: lengths that do not cover the quilt and its margin."""
    BACKING_CLOTH = "backing cloth"
    """said, wanted."""
    BACKING_SAVING = "backing saving"
    """said: a margin that saves no length."""
    BACKING_NONE = "backing none"
    """Nothing: no way to piece a backing is told."""
    BATTING = "batting"
    """said, wanted: a side."""
    SETTING_SQUARES = "setting squares"
    """said, found: setting triangles needed, and given by their squares."""
    SETTING_SQUARE = "setting square"
    """said, wanted: side of a square for setting triangles."""
    SASHING = "sashing"
    """said, found: a count or length of the sashing's."""
    POINT_LOSS = "point loss"
    """said, wanted: inches that an own square takes off the points."""
    WASHED = "washed"
    """fabric, said, found: usable width told, and left after washing."""
    BOUGHT = "bought"
    """fabric, bought, left, used."""
    BOUGHT_STEP = "bought step"
    """fabric, bought: a length that shops do not cut."""
    BOUGHT_SPARE = "bought spare"
    """fabric, bought, used: a shop's step less would do."""

    # Cutting plans.
    CUT_NUMBERS = "cut numbers"
    """fabric."""
    STRIP_LATE = "strip late"
    """fabric."""
    STRIP_ABOVE = "strip above"
    """fabric, first, second: numbers of two strips."""
    SHEET = "sheet"
    """fabric, number, sheet, count."""
    OFF_SIDE = "off side"
    """fabric, number: a cut past the right edge of the cloth."""
    OFF_END = "off end"
    """fabric, number: past the bottom edge."""
    STRIP_ACROSS = "strip across"
    """fabric, number."""
    PARENT = "parent"
    """fabric, number, inside."""
    OTHER_SHEET = "other sheet"
    """fabric, number, inside."""
    PAST_SIDES = "past sides"
    """fabric, number, inside."""
    PAST_ENDS = "past ends"
    """fabric, number, inside."""
    NOT_FROM_TOP = "not from top"
    """fabric, number, inside."""
    NOT_FROM_LEFT = "not from left"
    """fabric, number, inside."""
    STACK_SPAN = "stack span"
    """fabric, number."""
    OVERLAP = "overlap"
    """fabric, first, second."""
    NO_CUT_PARTS = "no cut parts"
    """fabric, first, second."""
    CUT_TOO_MANY = "cut too many"
    """fabric, piece, width, height, found, wanted."""
    CUT_COUNT = "cut count"
    """fabric, piece, wanted, found, missing."""
    LIES_WRONG = "lies wrong"
    """fabric, number, piece, width, height, turned."""
    USED = "used"
    """fabric, said, found."""
    FITS_MISSING = "fits missing"
    """fabric."""
    BOUND = "bound"
    """fabric, bound, used."""
    SHORT_UNSAID = "short unsaid"
    """fabric."""
    VERDICT = "verdict"
    """fabric, verdict."""
    WASTE = "waste"
    """fabric, said, found: shares."""
    SPARE = "spare"
    """fabric, said, found."""

    # How simply it is cut.
    SET_STRIP_CUT = "set strip cut"
    """fabric, number, width: a strip of a set that is shorter than any still asked for."""
    HANDWORK = "handwork"
    """fabric, measure, said, found: instructions, settings or cuts."""
    NO_SIMPLER = "no simpler"
    """fabric, measure, said, found: the simplest plan asks for more than the least cloth."""
    ALLOWANCE = "allowance"
    """fabric, said, found: what the simplest may cost more, and costs."""
    TWO_GRAINS = "two grains"
    """fabric, width, height: pieces of one size that lie both ways."""
    SET_TURNED = "set turned"
    """fabric, number: a strip of a set that does not run across the cloth."""
    TRIMMED = "trimmed"
    """fabric, number: a strip of a set that lost its slack for nothing."""
    OFF_FOLD = "off fold"
    """fabric, number: half a strip that does not begin at an edge or at the fold."""
    LINE_STRIPS = "line strips"
    """fabric, said, found: strips that instructions tell of, and that are cut."""
    LINE_HEIGHT = "line height"
    """fabric, said: strips of another height than their instruction says."""
    LINE_PIECES = "line pieces"
    """fabric, said, found: pieces of an instruction, in all or from one strip."""
    LINE_FOLD = "line fold"
    """fabric, said: height of strips told as whole or halved that are not, or the reverse."""
    UNCUT = "uncut"
    """fabric: pieces are asked for, no cloth is cut."""
    OWN_FORM = "own form"
    """fabric, form: cut from another form than the plan says."""

    # The printed words.
    UNSAID = "unsaid"
    """words: what must stand in the print and does not."""
    UNKNOWN_LENGTH = "unknown length"
    """words: a length in the print that the plan does not know."""
    STEPS_CUT = "steps cut"
    """words, said, found: pieces that the steps cut, and the plan."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault.

    Raises
    ------
    KeyError
        When a fact is asked for that it does not have.
    """

    kind: FaultKind
    """What is wrong."""
    facts: tuple[tuple[str, Fact], ...] = ()
    """What it speaks of, by name."""

    def __getitem__(self, name: str) -> Fact:
        """Return one fact."""
        return dict(self.facts)[name]


def fault(kind: FaultKind, /, **facts: Fact) -> Fault:
    """Return a fault of a kind with its facts.

    >>> fault(FaultKind.CELLS_COUNTED, counted=3, found=4)['found']
    4
    """
    return Fault(kind, tuple(facts.items()))

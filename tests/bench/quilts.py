"""Twenty invented quilts, as patterns have them: block, size, setting, fabrics, borders.

What the background is cut into, borders and binding included, and what one of the
feature fabrics is cut into, with the cloth it comes from.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from placement.block import load_block
from placement.cloth.cutting import Piece, PieceKind, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.pieces import cutting_list
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Kind, Setting

BACKGROUND = "background"


@dataclass(frozen=True, slots=True)
class Quilt:
    """A quilt by its pattern's cover."""

    block: str
    """Name of the block."""
    side: str
    """Finished side of a block."""
    kind: Kind
    """'on point' or 'straight'."""
    across: int
    """Blocks across."""
    down: int
    """Blocks down."""
    fabrics: int
    """Feature fabrics."""
    form: FormKind
    """What they come as."""
    alternate: bool = False
    """Whether every other block is plain."""
    sashing: str = "0"
    """Finished width of the sashing."""
    border: str = ""
    """Cut width of the border's strips, of background; '' for none."""
    binding: str = "2 1/2"
    """Cut width of the binding's strips, of background."""

    @property
    def name(self) -> str:
        """Name it in a line of a table."""
        return f"{self.block} {self.side} in, {self.kind} {self.across} x {self.down}"

    def pieces(self) -> tuple[Piece, ...]:
        """Return everything that is cut for it, by fabric."""
        setting = Setting(
            self.kind,
            self.across,
            self.down,
            Inches.parse(self.side),
            self.alternate,
            Inches.parse(self.sashing),
            self.sashing != "0",
        )
        cells = range(len(setting.cells()))
        layout = Layout(setting, tuple(f"f{at % self.fabrics}" for at in cells))
        widths = {f"f{at}": form_of(self.form).width for at in range(self.fabrics)}
        widths[BACKGROUND] = form_of(FormKind.YARDAGE).width
        listed = cutting_list(layout, load_block(self.block), BACKGROUND, widths)
        return (*listed.pieces, *self._around(setting, widths[BACKGROUND]))

    def _around(self, setting: Setting, width: Inches) -> list[Piece]:
        """Return border and binding strips, as long as the cloth is wide."""
        edge = 2 * (setting.width + setting.height)
        made = []
        for kind, cut in ((PieceKind.BORDER, self.border), (PieceKind.BINDING, self.binding)):
            if cut:
                strips = ceil((edge + 12) / (float(width.value) - 0.5))
                made.append(Piece(Use(kind), BACKGROUND, width, Inches.parse(cut), strips))
        return made


_EIGHTH, _QUARTER = FormKind.FAT_EIGHTH, FormKind.FAT_QUARTER

QUILTS = (
    Quilt("uneven-nine-patch", "7", "on point", 6, 7, 18, _EIGHTH),
    Quilt("uneven-nine-patch", "8 1/2", "on point", 6, 7, 18, _QUARTER, border="4 1/2"),
    Quilt("nine-patch", "6", "straight", 8, 10, 20, _QUARTER, alternate=True, border="5"),
    Quilt("nine-patch", "7 1/2", "on point", 5, 6, 10, _QUARTER, border="3 1/2"),
    Quilt("sawtooth-star", "8", "straight", 6, 8, 12, _QUARTER, sashing="1 1/2"),
    Quilt("sawtooth-star", "12", "on point", 4, 5, 16, _QUARTER, border="6 1/2"),
    Quilt("ohio-star", "9", "straight", 6, 7, 14, _QUARTER, sashing="2", border="4"),
    Quilt("ohio-star", "12", "on point", 3, 4, 9, FormKind.HALF_YARD),
    Quilt("churn-dash", "7 1/2", "straight", 7, 9, 21, _EIGHTH, alternate=True),
    Quilt(
        "churn-dash",
        "10",
        "on point",
        4,
        5,
        16,
        _QUARTER,
        sashing="1 1/2",
        border="5 1/2",
    ),
    Quilt("friendship-star", "6", "straight", 9, 11, 11, _QUARTER, alternate=True),
    Quilt("friendship-star", "9", "on point", 4, 6, 12, _QUARTER, border="4 1/2"),
    Quilt("shoo-fly", "9", "straight", 6, 7, 14, _QUARTER, sashing="2 1/2"),
    Quilt("pinwheel", "8", "on point", 5, 6, 10, _QUARTER, border="3"),
    Quilt("four-patch", "6", "on point", 7, 8, 24, _EIGHTH, alternate=True),
    Quilt("hourglass", "6", "straight", 9, 12, 18, _QUARTER, border="5"),
    Quilt("square-in-a-square", "8", "straight", 7, 9, 21, _QUARTER, sashing="1"),
    Quilt("dutchmans-puzzle", "8", "straight", 6, 7, 14, _QUARTER, sashing="2", border="6"),
    Quilt("rail-fence", "6", "straight", 10, 12, 12, FormKind.QUARTER_YARD, border="4 1/2"),
    Quilt("plain-square", "6", "on point", 8, 9, 18, _QUARTER, border="5 1/2"),
)
"""The twenty."""

"""What a plan of cuts asks of the cutter, as a value that adds up and compares."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True, order=True)
class Handwork:
    """Instructions, ruler settings and cuts; less of an earlier one is simpler.

    An instruction is a line of the cutting list: cut so many strips of one height
    across the cloth; from each cut up to so many of each size, until there are
    enough. A strip that gives no more of any size than another strip of its height
    belongs to its instruction; of several such, to the one that gives most pieces.

    A ruler setting is a measure that the ruler is laid to within one instruction:
    the strips' height, and every other width or height of what is cut from them.
    The whole width of the cloth needs none, nor half of it, which is cut at the
    fold.

    A cut is one pass of the cutter: one for each strip, and one for each side at
    which a column leaves its strip or a piece its column, except where that is the
    edge of the cloth or the strip itself. Strips of one instruction are sub-cut
    together, so many layers at a time.
    """

    instructions: int
    """How many different instructions."""
    settings: int
    """How many ruler settings."""
    cuts: int
    """How many passes of the cutter."""

    NONE: ClassVar[Handwork]
    """No handwork."""

    def __add__(self, other: Handwork) -> Handwork:
        return Handwork(
            self.instructions + other.instructions,
            self.settings + other.settings,
            self.cuts + other.cuts,
        )


Handwork.NONE = Handwork(0, 0, 0)

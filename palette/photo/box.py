"""A rectangle in a photo, told in parts of its width and height."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

_EXAMPLE = "write four parts of the photo from 0 to 1, such as 0.05,0.8,0.2,0.95"


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in a photo: left, top, right and bottom as parts of its sides.

    Raises
    ------
    ValueError
        If a part lies outside 0 to 1 or the rectangle is empty.

    Examples
    --------
    >>> Box.parse('0.05, 0.8, 0.2, 0.95')
    Box(left=0.05, top=0.8, right=0.2, bottom=0.95)
    """

    left: float
    """Left edge, 0 to 1 from the left."""
    top: float
    """Upper edge, 0 to 1 from the top."""
    right: float
    """Right edge, 0 to 1 from the left."""
    bottom: float
    """Lower edge, 0 to 1 from the top."""

    def __post_init__(self) -> None:
        if not (0 <= self.left < self.right <= 1 and 0 <= self.top < self.bottom <= 1):
            raise ValueError(f"{self} is no part of a photo; {_EXAMPLE}")

    def __str__(self) -> str:
        return ",".join(f"{part:g}" for part in (self.left, self.top, self.right, self.bottom))

    @classmethod
    def parse(cls, text: str) -> Box:
        """Read 'left,top,right,bottom', or 'x,y' for a small square around a point.

        Raises
        ------
        ValueError
            If the text is neither.
        """
        try:
            parts = [float(part) for part in text.split(",")]
        except ValueError:
            raise ValueError(f"{text!r} is no place in a photo; {_EXAMPLE}") from None
        if len(parts) == 2:
            return cls.around(*parts)
        if len(parts) != 4:
            raise ValueError(f"{text!r} has {len(parts)} numbers; {_EXAMPLE}")
        return cls(*parts)

    @classmethod
    def around(cls, x: float, y: float, reach: float = 0.01) -> Box:
        """Return the square around a point, cut at the photo's edge."""
        if not (0 <= x <= 1 and 0 <= y <= 1):
            raise ValueError(f"the point {x:g},{y:g} lies outside the photo; {_EXAMPLE}")
        return cls(max(0, x - reach), max(0, y - reach), min(1, x + reach), min(1, y + reach))

    @classmethod
    def around_all(cls, boxes: Sequence[Box]) -> Box:
        """Return the smallest box around at least one other."""
        return cls(
            min(box.left for box in boxes),
            min(box.top for box in boxes),
            max(box.right for box in boxes),
            max(box.bottom for box in boxes),
        )

    @property
    def area(self) -> float:
        """Part of the photo it covers."""
        return (self.right - self.left) * (self.bottom - self.top)

    def pixels(self, width: int, height: int) -> tuple[int, int, int, int]:
        """Return it in whole pixels of a photo of that size: at least one each way."""
        left, top = min(int(self.left * width), width - 1), min(int(self.top * height), height - 1)
        right, bottom = round(self.right * width), round(self.bottom * height)
        return left, top, max(right, left + 1), max(bottom, top + 1)

    def shrunk(self, part: float) -> Box:
        """Leave out that part of its width and height along every edge."""
        across, down = part * (self.right - self.left), part * (self.bottom - self.top)
        return Box(self.left + across, self.top + down, self.right - across, self.bottom - down)

    def within(self, outer: Box) -> Box:
        """Return in parts of the whole what is given in parts of an outer box."""
        width, height = outer.right - outer.left, outer.bottom - outer.top
        return Box(
            outer.left + self.left * width,
            outer.top + self.top * height,
            outer.left + self.right * width,
            outer.top + self.bottom * height,
        )

    def rest(self, margin: float = 0.0) -> Box:
        """Return the largest strip of the photo beside it, with a margin between.

        Raises
        ------
        ValueError
            If the box leaves no room.
        """
        sides = [
            (0.0, 0.0, self.left - margin, 1.0),
            (self.right + margin, 0.0, 1.0, 1.0),
            (0.0, 0.0, 1.0, self.top - margin),
            (0.0, self.bottom + margin, 1.0, 1.0),
        ]
        left, top, right, bottom = max(sides, key=lambda s: (s[2] - s[0]) * (s[3] - s[1]))
        if right <= left or bottom <= top:
            raise ValueError(f"the box {self} fills the photo; nothing is left for the cloth")
        return Box(left, top, right, bottom)

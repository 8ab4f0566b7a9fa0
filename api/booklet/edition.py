"""What the designer adds to a plan to publish it: her words, her photos, her paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from placement.inches import Inches

Paper = Literal["letter", "a4"]
Ink = Literal["colour", "black"]
PAPERS: tuple[Paper, ...] = ("letter", "a4")
INKS: tuple[Ink, ...] = ("colour", "black")

MOST_WORDS = 20_000
"""Characters of an introduction or of notes."""


@dataclass(frozen=True, slots=True)
class Edition:
    """How one booklet is published. Everything has a default."""

    title: str = ""
    """Title on the cover; '' takes the plan's."""
    designer: str = ""
    """Name on the cover; '' leaves it out."""
    introduction: str = ""
    """Her own opening; blank lines part paragraphs."""
    notes: str = ""
    """Her own closing words, such as thanks and rights."""
    photos: tuple[bytes, ...] = ()
    """Her own photos of the finished quilt: JPEG or PNG bytes."""
    paper: Paper = "letter"
    """US letter or A4."""
    ink: Ink = "colour"
    """'black' saves ink: lines and numbers in place of pictures."""
    drop: Inches | None = None
    """How far the quilt hangs down in a table of bed sizes; None leaves the table out."""
    large: bool = False
    """Whether it is set in large print."""

    def __post_init__(self) -> None:
        if self.paper not in PAPERS:
            raise ValueError(f"paper is one of {', '.join(PAPERS)}, not {self.paper!r}")
        if self.ink not in INKS:
            raise ValueError(f"ink is one of {', '.join(INKS)}, not {self.ink!r}")
        for name, words in (("introduction", self.introduction), ("notes", self.notes)):
            if len(words) > MOST_WORDS:
                raise ValueError(
                    f"the {name} has {len(words)} characters; keep it to {MOST_WORDS} at most"
                )

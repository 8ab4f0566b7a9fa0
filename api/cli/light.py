"""What the command line is told about the light of photos, and reading by it."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.files import read_bounded
from api.wording.english import listed
from palette.colour import Lab

if TYPE_CHECKING:
    from palette.photo.daylight import White  # noqa: TC004  (heavy; a type alone)
    from palette.photo.reference import Reference

_SAME = "same light"
MOST_CHART = 100_000
"""Bytes of a chart's file; one of 140 patches takes a tenth."""


@dataclass(frozen=True, slots=True)
class Lighting:
    """How photos are corrected."""

    white: White
    """What by (see palette.photo.read.read)."""
    paper: Lab
    """True colour of white paper."""
    even: bool
    """Whether light that falls off is evened."""
    whole: bool
    """Whether hands and the table's edge are read along with the cloth."""
    light: str
    """Names the light if all photos were taken in the same."""

    def how(self, otherwise: Reference | None = None) -> dict[str, Any]:
        """Return it as palette.photo.read.read takes it."""
        return {
            "white": self.white,
            "paper": self.paper,
            "even": self.even,
            "whole": self.whole,
            "light": self.light,
            "otherwise": otherwise,
        }


def add_lighting(plan: argparse.ArgumentParser) -> None:
    """Add the options about light."""
    add = plan.add_argument
    add("--white", type=_place, default="auto", metavar="WHERE",
        help="what colours are corrected by: white paper that is found (auto), nothing (none), "
        "or paper at left,top,right,bottom (or x,y), parts of each photo (auto)")  # fmt: skip
    add("--paper", type=_paper, default="office", metavar="KIND",
        help="the paper: office, drawing (without brighteners), cream, grey-card, or its Lab "
        "colour L,A,B (%(default)s)")  # fmt: skip
    add("--chart", type=Path, metavar="FILE",
        help="JSON file with the patches of a chart in every photo: "
        '{"patches": [{"box": [left, top, right, bottom], "lab": [L, a, b]}, ...]}')  # fmt: skip
    add("--same-light", action="store_true",
        help="all photos were taken in the same light with the same settings: paper in one "
        "serves those without")  # fmt: skip
    add("--keep-shading", action="store_true",
        help="do not even light that falls off across a photo; for cloth that goes from light to "
        "dark")  # fmt: skip
    add("--whole-photos", action="store_true",
        help="read photos to their edges, also where a hand, the table or glare "
        "seems to be")  # fmt: skip


def lighting(wish: argparse.Namespace) -> Lighting:
    """Return what was told.

    Raises
    ------
    ValueError
        If the chart cannot be read; OSError if there is no such file.
    """
    from api.photos.worker import place
    from palette.photo.white_paper import read_chart

    white: White = place(wish.white)
    if wish.chart is not None:
        white = read_chart(read_bounded(wish.chart, MOST_CHART, "a chart"))
    light = _SAME if wish.same_light else ""
    return Lighting(white, wish.paper, not wish.keep_shading, wish.whole_photos, light)


def _place(text: str) -> str:
    from api.photos.worker import place

    try:
        place(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    return text


def _paper(text: str) -> Lab:
    from palette.photo.paper_kind import PAPERS, PaperKind

    if text in list(PaperKind):
        return PAPERS[PaperKind(text)]
    try:
        lightness, a, b = (float(part) for part in text.split(","))
        return Lab(lightness, a, b)
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no paper ({error}); write {listed(list(PaperKind), 'or')}, or its L*, "
            "a* and b*, such as 95,0,0"
        ) from None

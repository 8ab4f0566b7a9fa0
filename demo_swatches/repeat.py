"""A printed repeat: motifs drawn once, meeting themselves at the edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw

from demo_swatches.shapes import Motif, moved

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.random import Generator
    from numpy.typing import NDArray

FINE = 4
"""Pixels of the drawing to one pixel of the cloth."""


class Repeat:
    """A drawing that tiles the cloth, straight or in half drop.

    Each pixel of the drawing holds the number of the ink that was painted there
    last; 0 is bare cloth.
    """

    def __init__(self, width: float, height: float, half_drop: bool = False) -> None:
        self.width, self.height = width, height
        self.drop = height / 2 if half_drop else 0.0
        self._image = Image.new("L", (round(width * FINE), round(height * FINE)), 0)
        self._draw = ImageDraw.Draw(self._image)

    def steps(self) -> NDArray[np.float64]:
        """Return the shifts to the tile itself and to its neighbours, shape (15, 2)."""
        return np.array(
            [
                (a * self.width, b * self.height + (a % 2) * self.drop)
                for a in (-1, 0, 1)
                for b in (-2, -1, 0, 1, 2)
            ]
        )

    def paint(self, motif: Motif, copies: bool = True) -> None:
        """Paint a motif, and its copies that reach into this tile."""
        steps = self.steps() if copies else np.zeros((1, 2))
        for outline, ink in motif:
            low, high = outline.min(axis=0), outline.max(axis=0)
            for step in steps:
                inside = np.all(high + step > 0) and np.all(low + step < (self.width, self.height))
                if inside:
                    self._draw.polygon([tuple(p) for p in (outline + step) * FINE], fill=ink)

    def paint_at(self, motif: Motif, at: Sequence[float], **placing: float) -> None:
        """Paint a motif moved as `shapes.moved` does."""
        self.paint(moved(motif, at, **placing))

    def inks(self, x: NDArray[np.float32], y: NDArray[np.float32]) -> NDArray[np.uint8]:
        """Return the number of the ink at each point of the cloth."""
        drawing = np.asarray(self._image)
        rows, columns = drawing.shape
        column = np.floor(x / self.width)
        down = y - (column % 2) * self.drop if self.drop else y
        left = ((x - column * self.width) * FINE).astype(np.int32) % columns
        return drawing[(down * FINE).astype(np.int32) % rows, left]

    def toss(
        self, rng: Generator, radii: Iterable[float], tight: float = 1.0, tries: int = 240
    ) -> list[tuple[float, float, float]]:
        """Find places for circles so that they keep apart, also across the edges.

        Parameters
        ----------
        rng
            Where the candidates come from.
        radii
            Radius of each circle, the largest first for a good filling.
        tight
            How much of the two radii must lie between two centres.
        tries
            Candidates for each circle; the one with the widest clearance wins.

        Returns
        -------
        list
            (x, y, radius) of the circles that found a place.
        """
        placed: list[tuple[float, float, float]] = []
        for radius in radii:
            spots = rng.random((tries, 2)) * (self.width, self.height)
            room = self._room(spots, placed, tight) - radius * tight
            best = int(np.argmax(room))
            if room[best] >= 0:
                placed.append((float(spots[best, 0]), float(spots[best, 1]), radius))
        return placed

    def _room(
        self, spots: NDArray[np.float64], placed: list[tuple[float, float, float]], tight: float
    ) -> NDArray[np.float64]:
        """Return how far each spot lies from the nearest placed circle."""
        room = np.full(len(spots), min(self.width, self.height) / 2)
        for x, y, radius in placed:
            copies = np.array([x, y]) + self.steps()
            gap = np.linalg.norm(spots[:, None] - copies[None], axis=2).min(axis=1)
            room = np.minimum(room, gap - radius * tight)
        return room

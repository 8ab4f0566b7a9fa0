"""Made-up photos of fabrics on a table, and the truth about where each fabric lies.

Everything lies in the plane of the table and is seen through one camera, so a
fabric's true outline in the photo is known; a map tells for each pixel which
fabric it shows. Tables and fabrics come in two families: one that the methods
were tuned on and one that is kept for the benchmark.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from palette.colour import difference, light_to_lab, srgb_to_light
from tests.bench.tables import TABLES, TESTING, encoded
from tests.bench.textures import texture

if TYPE_CHECKING:
    from pathlib import Path

KINDS = ("spread", "grid", "stack", "narrow")


@dataclass(frozen=True)
class Scene:
    """A photo and the truth about it."""

    jpeg: bytes
    """The photo."""
    light: np.ndarray
    """Its light before noise and compression, shape (height, width, 3)."""
    labels: np.ndarray
    """Which fabric each pixel shows, shape (height, width); -1 for the table."""
    table: str
    """Kind of table."""
    count: int
    """Number of fabrics."""
    rows: int = 1
    """Of a grid."""
    columns: int = 1
    """Of a grid."""
    nearest: float = 100.0
    """Difference between the table and the fabric nearest to it in colour."""
    cut: frozenset[int] = frozenset()
    """Fabrics of which the photo's edge cuts off a part: they may be left out if that is told."""


@dataclass(frozen=True)
class _Camera:
    """From the plane of the table, 0 to 1 along the photo's longer side, to pixels."""

    matrix: np.ndarray
    width: int
    height: int

    def seen(self, points: np.ndarray) -> np.ndarray:
        flat = np.column_stack([points, np.ones(len(points))]) @ self.matrix.T
        return flat[:, :2] / flat[:, 2:]


def scene(
    kind: str,
    seed: int,
    tables: tuple[str, ...],
    width: int = 1600,
    photos: tuple[Path, ...] = (),
) -> Scene:
    """Make a photo of a kind: spread, narrow, grid or stack; all fabrics lie well inside of it.

    Some fabrics are taken from photos of real cloth, if there are any.
    """
    rng = np.random.default_rng([KINDS.index(kind), seed])
    lay = {"spread": spread, "narrow": narrow, "grid": grid, "stack": stack}[kind]
    while True:
        made = lay(Stage(rng, tables, width, photos, _SLANTS.get(kind, 0.09)))
        rim = round(0.02 * width)
        inner = made.labels[rim:-rim, rim:-rim]
        if (inner >= 0).sum() == (made.labels >= 0).sum():
            return made


_SLANTS = {"narrow": 0.2}
"""How far a camera is tilted, if more than usual."""


def spread(stage: Stage) -> Scene:
    """Fabrics with gaps between them, each turned a little."""
    return _apart(stage, (0.12, 0.3), 0.05)


def narrow(stage: Stage) -> Scene:
    """Fabrics with gaps so narrow that some close under a slant."""
    return _apart(stage, (0.03, 0.08), 0.01)


def _apart(stage: Stage, gaps: tuple[float, float], turn: float) -> Scene:
    rng = stage.rng
    rows, columns = int(rng.integers(2, 6)), int(rng.integers(2, 8))
    size = min(0.92 / columns, 0.92 * stage.form / rows)
    gap = rng.uniform(*gaps)
    shape = rng.choice(["square", "oblong"])
    for index in range(rows * columns):
        row, column = divmod(index, columns)
        middle = (np.array([column, row]) + 0.5) * size
        middle += [0.5 - columns * size / 2, stage.form / 2 - rows * size / 2]
        middle += rng.uniform(-0.2, 0.2, 2) * gap * size
        side = size * (1 - gap) * (1.0 if shape == "square" else np.array([1, rng.uniform(0.5, 1)]))
        angle = rng.normal(0, turn)
        stage.lay(_rectangle(middle, side * np.ones(2), angle), stage.fabric())
    return stage.photo(rows, columns)


def grid(stage: Stage) -> Scene:
    """Fabrics edge to edge in rows and columns."""
    rng = stage.rng
    rows, columns = int(rng.integers(2, 7)), int(rng.integers(2, 9))
    size = min(0.86 / columns, 0.86 * stage.form / rows)
    turn = rng.normal(0, 0.03)
    whole = _rectangle(np.array([0.5, stage.form / 2]), size * np.array([columns, rows]), turn)
    right, down = (whole[1] - whole[0]) / columns, (whole[3] - whole[0]) / rows
    for index in range(rows * columns):
        row, column = divmod(index, columns)
        corner = whole[0] + column * right + row * down
        cell = np.array([corner, corner + right, corner + right + down, corner + down])
        stage.lay(cell + rng.normal(0, 0.012 * size, (4, 2)), stage.fabric(), shadow=False)
    return stage.photo(rows, columns)


def stack(stage: Stage) -> Scene:
    """Folded fabrics one on another, seen at their folds."""
    rng = stage.rng
    count = int(rng.integers(4, 21))
    upright = rng.random() < 0.3
    long, short = rng.uniform(0.5, 0.8), min(0.9 * stage.form, count * rng.uniform(0.03, 0.09))
    thick = rng.uniform(0.65, 1.35, count)
    ends = np.concatenate([[0], np.cumsum(thick)]) / thick.sum() - 0.5
    turn = rng.normal(0, 0.03) + (np.pi / 2 if upright else 0)
    along = np.array([np.cos(turn), np.sin(turn)])
    down = np.array([-np.sin(turn), np.cos(turn)])
    long = min(long, 0.85 * stage.form) if upright else long
    middle = np.array([0.5, stage.form / 2])
    tilts = rng.normal(0, 0.1 / count, count + 1)
    stage.under(middle, along, down, long, short)
    for index in range(count):
        left, right = -0.5 + rng.normal(0, 0.02, 2) + [0, 1]
        strip = [
            middle + x * long * along + (ends[index + k] + tilts[index + k] * x) * short * down
            for x, k in ((left, 0), (right, 0), (right, 1), (left, 1))
        ]
        stage.lay(np.array(strip), stage.fabric(fold=True), shadow=False)
    return stage.photo(count, 1)


class Stage:
    """A table under a camera, on which fabrics are laid one by one."""

    def __init__(
        self,
        rng: np.random.Generator,
        tables: tuple[str, ...],
        width: int,
        photos: tuple[Path, ...],
        slant: float,
    ) -> None:
        self.rng = rng
        self.photos = photos
        self.form = rng.choice([3 / 4, 2 / 3, 9 / 16])
        self.table = str(rng.choice(tables))
        height = round(width * self.form)
        self.camera = _camera(rng, width, height, slant)
        canvas = TABLES[self.table](rng, height, width)
        self.colour = light_to_lab(srgb_to_light(canvas / 255).mean(axis=(0, 1)))
        self.canvas = Image.fromarray(canvas)
        self.labels = Image.new("I", (width, height), 0)
        self.testing = self.table in TESTING
        self.nearest = 100.0
        self.count = 0

    def fabric(self, *, fold: bool = False) -> np.ndarray:
        """Make a fabric at least 12 from the table, sRGB; shaded as a fold if it is one."""
        while True:
            cloth = texture(self.rng, testing=self.testing, photos=self.photos)
            light = srgb_to_light(cloth / 255)
            tables = self._table_colours()
            reads = difference(light_to_lab(light.mean(axis=(0, 1))), tables).min()
            # Part of a print may be like the table, but not most of it.
            near = difference(light_to_lab(light[::8, ::8])[:, :, None], tables).min(axis=-1) < 10
            if reads > 12 and near.mean() < 0.4:
                break
        self.nearest = min(self.nearest, reads)
        if not fold:
            return cloth
        part = np.linspace(-1, 1, 256)[:, None, None]
        shade = 1 - self.rng.uniform(0.25, 0.6) * np.abs(part) ** self.rng.uniform(5, 9)
        return encoded(light * shade * (1 - 0.05 * part))

    def _table_colours(self) -> np.ndarray:
        small = np.asarray(self.canvas.reduce(8) if self.count == 0 else self._bare)
        self._bare = small
        return light_to_lab(srgb_to_light(small[::12, ::12].reshape(-1, 3) / 255))

    def lay(self, corners: np.ndarray, cloth: np.ndarray, *, shadow: bool = True) -> None:
        """Lay a fabric with these corners, in the plane of the table."""
        seen = self.camera.seen(corners)
        size = self.canvas.size
        texture = Image.fromarray(cloth)
        matrix = projection(seen, texture.width, texture.height)
        warped = texture.transform(size, Image.Transform.PERSPECTIVE, matrix, Image.BICUBIC)
        mask = filled(seen, size)
        if shadow:
            self._shade(mask, seen)
        self.canvas.paste(warped, mask=mask)
        self.count += 1
        self.labels.paste(self.count, mask=mask.point(lambda v: 255 * (v > 127)))

    def under(self, middle, along, down, long, short) -> None:
        """Throw the shadow of a stack."""
        corners = [
            middle + x * long / 2 * along + y * short / 2 * down
            for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        seen = self.camera.seen(np.array(corners))
        self._shade(filled(seen, self.canvas.size), seen, far=0.03)

    def _shade(self, mask: Image.Image, seen: np.ndarray, far: float = 0.006) -> None:
        reach = far * self.canvas.width * self.rng.uniform(0.3, 1)
        angle = self.rng.uniform(0, 2 * np.pi)
        left, top = np.floor(seen.min(axis=0) - 4 * reach).astype(int)
        right, bottom = np.ceil(seen.max(axis=0) + 4 * reach).astype(int)
        box = (max(left, 0), max(top, 0), right, bottom)
        part = np.asarray(mask.crop(box), dtype=np.float32) / 255
        shift = (reach * np.sin(angle), reach * np.cos(angle))
        soft = gaussian_filter(np.roll(part, np.round(shift).astype(int), (0, 1)), reach / 1.5)
        under = srgb_to_light(np.asarray(self.canvas.crop(box)) / 255)
        dim = 1 - self.rng.uniform(0.2, 0.55) * soft[..., None]
        self.canvas.paste(Image.fromarray(encoded(under * dim)), box[:2])

    def photo(self, rows: int, columns: int) -> Scene:
        """Light the table and photograph it."""
        rng = self.rng
        light = srgb_to_light(np.asarray(self.canvas) / 255)
        light = light * _lighting(rng, *light.shape[:2])[..., None]
        light *= 0.9 / max(np.percentile(light, 99.7), 0.5)
        taken = developed(rng, light)
        labels = np.asarray(self.labels) - 1
        return Scene(taken, light, labels, self.table, self.count, rows, columns, self.nearest)


def developed(rng: np.random.Generator, light: np.ndarray) -> bytes:
    """Photograph light, with a lens's blur, a sensor's noise and a JPEG's losses."""
    seen = np.maximum(gaussian_filter(light, (0.8, 0.8, 0)), 0)
    seen = seen + rng.normal(0, 1, seen.shape) * np.sqrt(1e-5 + 4e-4 * seen)
    out = io.BytesIO()
    Image.fromarray(encoded(seen)).save(out, "JPEG", quality=int(rng.integers(80, 94)))
    return out.getvalue()


def _camera(rng: np.random.Generator, width: int, height: int, slant: float) -> _Camera:
    """Hold a camera above the table, tilted by a few degrees and turned."""
    turn = rng.normal(0, 0.04)
    scale = 0.93 * width
    plane = np.array([[1, 0, -0.5], [0, 1, -0.5 * height / width], [0, 0, 1]])
    rotate = np.array(
        [[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]]
    )
    tilt = np.array([[1, 0, 0], [0, 1, 0], [*rng.normal(0, slant, 2), 1]])
    shift = np.array([[scale, 0, width / 2], [0, scale, height / 2], [0, 0, 1]])
    return _Camera(shift @ tilt @ rotate @ plane, width, height)


def _rectangle(middle: np.ndarray, sides: np.ndarray, angle: float) -> np.ndarray:
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) / 2 * sides
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return middle + corners @ turn.T


def filled(seen: np.ndarray, size: tuple[int, int]) -> Image.Image:
    mask = Image.new("L", (size[0] * 2, size[1] * 2))
    ImageDraw.Draw(mask).polygon([tuple(point) for point in 2 * seen], fill=255)
    return mask.reduce(2)


def projection(seen: np.ndarray, width: int, height: int) -> tuple[float, ...]:
    """Eight numbers that take a pixel of the photo to one of the texture."""
    target = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    rows = []
    for (x, y), (u, v) in zip(seen, target, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
    return tuple(np.linalg.solve(np.array(rows), target.reshape(-1)))


def _lighting(rng: np.random.Generator, height: int, width: int) -> np.ndarray:
    """Make a window's light that falls off, and sometimes the soft shadow of somebody."""
    y, x = np.mgrid[-0.5 : 0.5 : height * 1j, -0.5 : 0.5 : width * 1j]
    angle = rng.uniform(0, 2 * np.pi)
    field = np.exp(-rng.uniform(0.1, 0.5) * (x * np.cos(angle) + y * np.sin(angle) + 0.5))
    if rng.random() < 0.4:
        edge = x * np.cos(angle + 1) + y * np.sin(angle + 1) - rng.uniform(0.1, 0.4)
        field *= 1 - rng.uniform(0.1, 0.3) / (1 + np.exp(-edge / rng.uniform(0.03, 0.1)))
    return field

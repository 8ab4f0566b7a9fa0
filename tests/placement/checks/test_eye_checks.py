"""What the eye sees is measured: every planted fault is worse than all chance layouts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from placement.checks.eye import Shown, Sight, sights, worse_by_chance
from placement.inches import Inches
from placement.top.arrange.arrange import arrange
from placement.top.request import Request
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

EIGHT = Setting("straight", 8, 8, Inches.parse(6))
ROW, COLUMN = np.divmod(np.arange(64), 8)
GREYS = np.column_stack([np.linspace(20, 90, 16), np.zeros((16, 2))])
CALLING = np.vstack([GREYS, [[50, 70, 40], [60, 10, 70]]])


def request_of(colours: np.ndarray, setting: Setting = EIGHT) -> Request:
    raw = deltaE_ciede2000(colours[:, None], colours[None])
    return Request(setting, colours, (raw + raw.T) / 2 * (1 - np.eye(len(colours))))


def told(request: Request, layout: Sequence[int]) -> tuple[dict[Sight, float], dict[Sight, float]]:
    names = [str(fabric) for fabric in range(len(request.colours))]
    seen = Shown(
        request.setting,
        [str(fabric) for fabric in layout],
        "-1",
        dict(zip(names, request.colours, strict=True)),
        {(a, b): request.difference[int(a), int(b)] for a in names for b in names},
    )
    return sights(seen), worse_by_chance(seen, draws=99)


def ranked(along: np.ndarray) -> np.ndarray:
    """Lay the greys, four blocks each, dark to light in the order of a number a block."""
    layout = np.empty(64, dtype=np.int64)
    layout[np.argsort(along + 1e-3 * np.random.default_rng(0).random(64), kind="stable")] = (
        np.repeat(np.arange(16), 4)
    )
    return layout


PLANTED: dict[Sight, np.ndarray] = {
    Sight.NEAR: ROW // 2 * 4 + COLUMN // 2,
    Sight.FAR: np.hypot(ROW - 3.5, COLUMN - 3.5),
    Sight.HALVES: COLUMN > 3,
    Sight.CORNERS: np.maximum(ROW, COLUMN) < 3,
    Sight.BOARD: (ROW + COLUMN) % 2,
    Sight.LINES: ROW % 2,
}


@pytest.mark.parametrize("sight", PLANTED)
def test_a_planted_fault_strikes_the_eye(sight: Sight) -> None:
    along = np.asarray(PLANTED[sight], dtype=np.float64)
    _, worse = told(request_of(GREYS), ranked(along).tolist())
    assert worse[sight] < 0.02


def test_a_huddle_of_accents_strikes_the_eye() -> None:
    layout = np.resize(np.arange(16), 64)
    layout[(ROW < 3) & (COLUMN < 3)] = [16, 17, 16, 17, 16, 17, 16, 17, 16]
    assert told(request_of(CALLING), layout.tolist())[1][Sight.ACCENTS] < 0.02


def test_light_halves_are_measured_as_they_are() -> None:
    """Two greys of L* 20 and 90, one a half: 70 apart; as a checkerboard: not at all."""
    request = request_of(GREYS[[0, 15]])
    assert told(request, (COLUMN > 3).astype(int).tolist())[0][Sight.HALVES] == 70
    assert told(request, ((ROW + COLUMN) % 2).tolist())[0][Sight.HALVES] == pytest.approx(
        0, abs=1e-9
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", ["72-uniform-0", "72-twins-1", "accents"])
def test_arranged_layouts_strike_the_eye_no_more_than_chance(
    name: str, instance: Callable[..., Request]
) -> None:
    on_point = Setting("on point", 6, 7, Inches.parse(6))
    request = request_of(CALLING, on_point) if name == "accents" else instance(name)
    found = [told(request, arrange(replace(request, seed=seed)).layout)[1] for seed in (0, 1)]
    for sight in Sight:
        assert np.mean([one[sight] for one in found]) >= 0.4
    assert min(one[Sight.NEAR] for one in found) > 0.95

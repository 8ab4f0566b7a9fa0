"""The judge of quilts for beds finds every number that is planted wrong."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from placement.checks.beds import BedAsked, BedTold, judge_bed
from placement.checks.fault import FaultKind
from placement.inches import Inches
from placement.top.setting.setting import Setting

LIKE = Setting("straight", 1, 1, Inches.parse(8))
ASKED = BedAsked((60, 80), 12, LIKE, Inches.parse(3), Inches.parse("1/4"))
# Queen with a drop of 12 in: 84 x 92; 9 x 10 blocks of 8 in are 72 x 80, 6 in a side missing.
SOUND = BedTold(replace(LIKE, across=9, down=10), Inches.parse(6), (84, 92), (84, 92))


def test_a_sound_size_has_no_fault() -> None:
    assert judge_bed(ASKED, SOUND) == ()


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        ({"border": Inches.parse("5 3/4"), "size": (83.5, 91.5)}, FaultKind.BED_UNCOVERED),
        ({"size": (84, 92.5)}, FaultKind.BED_SIDE),
        ({"wanted": (84, 104)}, FaultKind.BED_WANTED),
        ({"border": Inches.parse("6 1/4"), "size": (84.5, 92.5)}, FaultKind.BED_WIDE),
        ({"border": Inches.parse("6 1/8"), "size": (84.25, 92.25)}, FaultKind.BED_WIDE),
        ({"border": Inches.parse("2 3/4"), "size": (77.5, 85.5)}, FaultKind.BED_WIDE),
        ({"setting": replace(LIKE, across=11, down=12)}, FaultKind.BED_BLOCKS),
        ({"setting": replace(LIKE, across=8, down=10)}, FaultKind.BED_BLOCKS),
        (
            {"setting": Setting("straight", 9, 10, Inches.parse(9))},
            FaultKind.BED_BLOCKS,
        ),
    ],
)
def test_a_planted_fault_is_found(change: dict[str, Any], kind: FaultKind) -> None:
    found = judge_bed(ASKED, replace(SOUND, **change))
    assert kind in {entry.kind for entry in found}

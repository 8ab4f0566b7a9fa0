"""The same pattern for every bed: covered as said, with all that makes that size."""

from __future__ import annotations

from dataclasses import replace

import pytest

from api.pattern.bed_sizes import bed_sizes
from api.pattern.checking import check
from api.pattern.usual import usual_brief
from api.wording.sizes import sizes_text
from placement.block import block_names
from placement.inches import Inches
from placement.top.setting.beds import BEDS


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize("block", block_names())
def test_a_queen_is_covered_with_its_drop_by_every_block(
    block: str, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Queen 60 x 80 in (common practice); a drop of 12 in at both sides and the foot: 84 x 92.
    brief = usual_brief()
    brief = replace(brief, block=block, setting=replace(brief.setting, kind=kind))  # type: ignore[arg-type]
    monkeypatch.setattr("api.pattern.bed_sizes.BEDS", {"queen": BEDS["queen"]})
    rows = bed_sizes(brief, 12, 18)
    assert {row.way for row in rows} == {"fewer", "more"}
    for row in rows:
        assert row.wanted == (84, 92)
        assert row.size[0] >= 84 - 1e-9
        assert row.size[1] >= 92 - 1e-9
        assert check(row.plan, row.book) == ()
        # Everything that makes the size is told: cloth for every part, backing and batting.
        parts = {piece.fabric for piece in row.book.pieces}
        assert parts == {cloth.fabric for cloth in row.book.cloths}
        assert row.book.backing
        assert row.book.batting == (row.size[0] + 8, row.size[1] + 8)


def test_the_table_tells_how_every_size_is_made() -> None:
    text = sizes_text(bed_sizes(usual_brief(), 12, 18))
    for row in bed_sizes(usual_brief(), 12, 18):
        assert f"--across {row.across} --down {row.down} --border '{row.border}'" in text
    assert "Queen, fewer blocks: " in text
    assert "Queen, more blocks: " in text


def test_metric_borders_grow_by_what_a_metric_ruler_shows() -> None:
    for row in bed_sizes(usual_brief("metric"), 30 / 2.54, 18):
        assert row.border.value * Inches.parse("25.4").value % 5 == 0

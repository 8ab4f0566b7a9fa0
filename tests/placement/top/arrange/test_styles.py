"""The four styles, each by what it promises."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import spearmanr

from placement.top.arrange.arrange import arrange
from placement.top.arrange.sequence import best_shift, places_in_sequence, rows_of, shift_distances
from placement.top.arrange.styles import find_families
from placement.top.arrange.validation import ask


def two_families(small, kind, across, down, copies):
    """Eight fabrics, four oranges and four blues in turn, with given copies each."""
    kinds = len(copies)
    colours = np.array([[55 + f, 40, 50] if f % 2 else [50 + f, 0, -45] for f in range(kinds)])
    request = small(kind, across, down, kinds, copies=copies)
    gaps = np.abs(colours[:, None] - colours[None]).sum(axis=-1).astype(float)
    return replace(request, colours=colours.astype(float), difference=gaps / 3)


def test_families_fill_alternate_rows(small):
    request = two_families(small, "straight", 6, 6, (5, 5, 5, 5, 4, 4, 4, 4))
    layout = np.array(arrange(replace(request, style="families")).layout).reshape(6, 6)
    families = layout % 2
    assert (families == families[:, :1]).all()
    assert (families[::2, 0] == families[0, 0]).all()
    assert (families[1::2, 0] == 1 - families[0, 0]).all()


def test_on_point_the_families_are_the_rows_and_the_rows_between(small):
    # 4 x 4 on point: 16 blocks in rows, 9 between.
    request = two_families(small, "on point", 4, 4, (3, 4, 2, 4, 2, 4, 2, 4))
    layout = arrange(replace(request, style="families")).layout
    between = [cell.row % 2 for cell in request.setting.cells()]
    assert [fabric % 2 for fabric in layout] == [1 - odd for odd in between]


def test_given_families_are_followed(small):
    request = small("straight", 4, 4, 4, style="families", families=(0, 1, 1, 0))
    layout = np.array(arrange(request).layout).reshape(4, 4)
    first = np.isin(layout, [0, 3])
    assert (first == first[:, :1]).all()
    assert first[:, 0].tolist() in ([True, False] * 2, [False, True] * 2)


def test_planted_families_are_found():
    rng = np.random.default_rng(0)
    planted = np.array([0, 1, 1, 0, 1, 0, 0, 1])
    points = rng.normal(0, 4, (8, 3)) + planted[:, None] * 40
    gaps = np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=-1))
    found = find_families(gaps, np.full(8, 3), 12)
    assert found.tolist() in ((planted == 0).tolist(), (planted == 1).tolist())


@pytest.mark.slow
@pytest.mark.parametrize("name", ["72-uniform-0", "72-twins-0", "400-tight-0"])
def test_light_to_dark_runs_in_order_of_lightness(instance, name):
    request = instance(name, style="light to dark")
    result = arrange(request)
    cells = request.setting.cells()
    on_point = request.setting.kind == "on point"
    fall = [cell.row if on_point else cell.row + cell.column for cell in cells]
    light = request.colours[list(result.layout), 0]
    assert spearmanr(fall, light).statistic < -0.85
    assert result.quality.closest > 0


@pytest.mark.parametrize(
    ("length", "apart"),
    # Measured by going through all shifts of a square lattice by hand and program.
    [(6, 5), (8, 8), (13, 13), (18, 18), (24, 26)],
)
def test_the_best_shift_is_the_best_of_all_shifts_laid_out(small, length, apart):
    where = ask(small("straight", 30, 30, 3)).where
    along, down = rows_of(where)
    distances = shift_distances(where, length)
    for shift in range(length):
        classes = (along + shift * down) % length
        same = np.flatnonzero(classes == classes[435])
        squares = where.squares(same[same != 435], np.array(435))
        assert distances[shift] ** 2 == pytest.approx(squares.min())
    assert distances[best_shift(where, length)] ** 2 == pytest.approx(apart)


def test_repeating_carries_one_sequence_from_row_to_row(small):
    request = small("straight", 6, 6, 6, style="repeating")
    rows = np.array(arrange(request).layout).reshape(6, 6)
    start = rows[0].tolist()
    assert sorted(start) == list(range(6))
    shift = start.index(rows[1, 0])
    assert shift != 0
    for number, row in enumerate(rows):
        turn = number * shift % 6
        assert row.tolist() == start[turn:] + start[:turn]


def test_repeating_is_broken_only_where_counts_force_it(instance):
    request = instance("72-uniform-0", style="repeating")
    layout = np.array(arrange(request).layout)
    made = ask(request)
    along, down = rows_of(made.where)
    classes = (along + best_shift(made.where, 18) * down) % 18
    sizes = np.bincount(classes)
    usual = [np.bincount(layout[classes == c]).argmax() for c in range(18)]
    broken = sum(layout[cell] != usual[classes[cell]] for cell in range(72))
    assert sorted(usual) == list(range(18))
    assert broken == np.maximum(sizes - 4, 0).sum()


def test_a_fabric_with_twice_the_copies_stands_twice_in_the_sequence():
    places = places_in_sequence(np.array([8, 4, 4, 4, 4]))
    assert np.bincount(places).tolist() == [2, 1, 1, 1, 1]
    assert np.bincount(places_in_sequence(np.array([5, 5, 4]))).tolist() == [1, 1, 1]


@pytest.mark.parametrize("style", ["scattered", "families", "repeating", "light to dark"])
def test_every_style_keeps_pins_holes_and_forbidden_fabrics(instance, style):
    copies = (*[4] * 16, 3, 3)
    request = instance(
        "72-uniform-0",
        style=style,
        copies=copies,
        holes=frozenset({0, 40}),
        pinned={3: 5, 37: 5, 71: 17},
        forbidden=dict.fromkeys(range(10, 30), (0, 1, 2)),
    )
    layout = arrange(request).layout
    assert tuple(layout.count(fabric) for fabric in range(18)) == copies
    assert {cell for cell, fabric in enumerate(layout) if fabric == -1} == {0, 40}
    assert (layout[3], layout[37], layout[71]) == (5, 5, 17)
    assert not {layout[cell] for cell in range(10, 30)} & {0, 1, 2}

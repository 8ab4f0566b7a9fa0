"""Large tops: even sequences, and what sweeping and mending leave, held against the judges."""

import numpy as np
import pytest

from placement.checks.promises import unevenness
from placement.inches import Inches
from placement.top.arrange.arrange import arrange
from placement.top.arrange.geometry import ground
from placement.top.arrange.objective import make_objective
from placement.top.arrange.promises import promises
from placement.top.arrange.sequence import even_layout, even_sequence, rows_of
from placement.top.arrange.sweeps import Clashes, Fair, heat_bath, mended
from placement.top.arrange.validation import ask
from placement.top.setting.setting import Setting


def objective_of(request):
    made = ask(request)
    return made, make_objective(made.task, made.where, made.colours, 15.0)


def classes_of(kind, across, down, least):
    setting = Setting(kind, across, down, Inches.parse("6"))
    where = ground(setting)
    length, shift = even_sequence(where, least)
    along, falling = rows_of(where)
    return setting, where, length, (along + shift * falling) % length


@pytest.mark.parametrize(("least", "length"), [(5, 5), (6, 7), (18, 19), (12, 13), (24, 25)])
def test_an_even_sequence_makes_a_knut_vik_design(least, length):
    """Each class once in every row, column and diagonal, wrapped ones too (Hedayat 1977)."""
    setting, _, found, classes = classes_of("straight", length, length, least)
    assert found == length
    for down, across in ((1, 0), (0, 1), (1, 1), (1, -1)):
        lines = [(down * cell.row + across * cell.column) % length for cell in setting.cells()]
        for line in range(length):
            assert len(set(classes[np.array(lines) == line])) == length


def test_on_point_no_line_holds_a_class_twice_before_all_others():
    _, where, length, classes = classes_of("on point", 9, 9, 18)
    for labels in where.lines[:4]:
        for line in np.unique(labels):
            held = classes[labels == line]
            assert len(set(held)) == min(len(held), length)


def test_no_sequence_of_two_or_three_is_even():
    """A Knut Vik design has a side that divides by neither 2 nor 3 (Hedayat 1977)."""
    where = ground(Setting("straight", 6, 6, Inches.parse("6")))
    assert [even_sequence(where, least) for least in (2, 3)] == [None, None]


def test_the_heat_bath_keeps_counts_and_a_price_makes_lines_fairer(instance):
    made, objective = objective_of(instance("143-uniform-0"))
    start = np.random.default_rng(0).permutation(np.repeat(np.arange(18), made.task.copies))
    cooling = np.array([0.01, 0.0])
    fair = Fair(made.where, made.task.copies, 0.2)
    free, priced = (
        heat_bath(objective, start, np.random.default_rng(0), temperatures=cooling, fair=price)
        for price in (None, fair)
    )
    assert (np.bincount(free) == np.bincount(priced)).all()
    assert objective.energy(free) < objective.energy(start) - 5
    uneven = [
        unevenness(dict(zip(made.request.setting.cells(), map(str, one.tolist()), strict=True)))
        for one in (free, priced)
    ]
    assert uneven[1] < 0.5 * uneven[0]


def test_mending_leaves_nothing_too_near_or_too_alike(instance):
    request = instance("400-uniform-0")
    made, objective = objective_of(request)
    start = even_layout(made.task, made.where, objective, np.random.default_rng(0))
    clashes = Clashes(made, promises(made, 15.0))
    fair = Fair(made.where, made.task.copies, 0.2)
    found = mended(objective, start, clashes, np.random.default_rng(0), fair=fair, steps=800)
    assert len(clashes.cells(start)) > 10
    assert (np.bincount(found) == np.bincount(start)).all()
    first, second = np.triu_indices(len(found), 1)
    apart = np.abs(made.where.places()[first] - made.where.places()[second])
    near = (apart**2).sum(axis=1) < 0.745**2 * 400 / 23
    assert not (near & (found[first] == found[second])).any()


@pytest.mark.slow
def test_400_cells_are_about_as_even_as_distant_copies_allow(instance):
    # 0.48 with a sequence of even length; no less than 0.18 in annealing a hundred times as long.
    quality = arrange(instance("400-uniform-0")).quality
    assert quality.closest >= quality.wanted
    assert quality.copies_apart > 0.745 * np.sqrt(400 / 23)
    assert quality.evenness < 0.4

"""The earth mover's distance against a linear program and in one dimension."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.stats import wasserstein_distance

from palette.picking.transport import least_work

EXACT = 1e-6
"""The module promises 1e-7 for costs up to 100; the linear program is less exact than that."""


heaps = st.lists(st.tuples(st.floats(0, 100), st.floats(0.01, 1)), min_size=1, max_size=6)


def by_linear_program(cost, supply, demand):
    """Solve the transportation problem in its textbook form with HiGHS in scipy."""
    rows, columns = cost.shape
    out = np.kron(np.eye(rows), np.ones(columns))
    into = np.kron(np.ones(rows), np.eye(columns))
    return linprog(cost.ravel(), A_eq=np.vstack([out, into]), b_eq=[*supply, *demand]).fun


def problems(seed, count, rows, columns):
    random = np.random.default_rng(seed)
    cost = random.uniform(0, 100, (count, rows, columns))
    supply = random.dirichlet(np.ones(rows), count)
    demand = random.dirichlet(np.ones(columns), count)
    return cost, supply, demand


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (1, 5), (4, 2), (3, 3), (6, 5), (10, 12)])
def test_work_equals_that_of_a_linear_program(rows, columns):
    cost, supply, demand = problems(rows * 100 + columns, 20, rows, columns)
    expected = [by_linear_program(*problem) for problem in zip(cost, supply, demand, strict=True)]
    assert least_work(cost, supply, demand) == pytest.approx(expected, abs=EXACT)


def test_work_is_right_where_many_ways_cost_the_same():
    cost, _, _ = problems(5, 30, 5, 5)
    cost = np.round(cost / 25) * 25
    even = np.full((30, 5), 0.2)
    expected = [by_linear_program(grid, even[0], even[0]) for grid in cost]
    assert least_work(cost, even, even) == pytest.approx(expected, abs=EXACT)


def test_padding_changes_nothing():
    cost, supply, demand = problems(7, 10, 3, 4)
    wider = np.pad(cost, ((0, 0), (0, 2), (0, 3)))
    padded = np.pad(supply, ((0, 0), (0, 2))), np.pad(demand, ((0, 0), (0, 3)))
    assert least_work(wider, *padded) == pytest.approx(least_work(cost, supply, demand), abs=1e-12)


def test_a_problem_has_the_same_answer_alone_and_among_others():
    cost, supply, demand = problems(8, 10, 4, 4)
    alone = [
        least_work(cost[i : i + 1], supply[i : i + 1], demand[i : i + 1])[0] for i in range(10)
    ]
    assert alone == least_work(cost, supply, demand).tolist()


@given(heaps, heaps)
def test_on_a_line_work_equals_the_wasserstein_distance(first, second):
    """Reference: scipy.stats.wasserstein_distance, which knows the line only."""
    (here, much), (there, many) = (np.array(side).T for side in (first, second))
    much, many = much / much.sum(), many / many.sum()
    found = least_work(np.abs(here[:, None] - there)[None], much[None], many[None])
    expected = wasserstein_distance(here, there, much, many)
    assert found[0] == pytest.approx(expected, abs=EXACT)

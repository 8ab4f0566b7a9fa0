"""Complete search by a SAT solver: find a layout without clashes, or prove there is none.

The solver is CaDiCaL (Biere, Fleury, Pollitt, 2023) through python-sat. Its work
is limited in conflicts, never in time, so an answer is the same anywhere.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Literal

import networkx as nx
import numpy as np
from pysat.card import CardEnc, EncType
from pysat.solvers import Cadical195

from placement.top.reach.clique import crowds

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from placement.top.reach.task import Bools, Classes, Ints

_CROWDS = 2
"""Crowds of classes that are counted together; more cost more than they bring (measured)."""


def size(classes: Classes) -> int:
    """Return about how many clauses the question takes."""
    cells, count = classes.accepts.shape
    few = np.minimum(classes.copies, cells - classes.copies)
    return int(4 * cells * few.sum() + cells * count * count // 2)


def decide(
    classes: Classes, edges: Ints, conflicts: int
) -> tuple[Ints | Literal[False] | None, int]:
    """Look for a layout of the classes in which no two touching cells clash.

    Returns
    -------
    tuple[Ints | Literal[False] | None, int]
        The layout, shape (n,), False if there is none, or None if that many conflicts did not
        decide it; and the conflicts used.
    """
    cells, count = classes.accepts.shape
    clauses = [*_colouring(cells, edges, classes.clash)]
    clauses += [[-_var(cell, c, count)] for cell, c in np.argwhere(~classes.accepts).tolist()]
    top = cells * count
    for number, copies in enumerate(classes.copies.tolist()):
        taken = [_var(cell, number, count) for cell in range(cells)]
        top = _exactly(copies, taken, top, clauses)
    for crowd in crowds(classes.clash, classes.copies)[:_CROWDS]:
        top = _crowd(crowd, classes, edges, top, clauses)
    model, used = _solve(clauses, conflicts)
    if model is None or model is False:
        return model, used
    chosen = np.array(model[: cells * count]) > 0
    layout: Ints = chosen.reshape(cells, count).argmax(axis=1)
    return layout, used


def colour_graph(
    graph: nx.Graph[int], colours: int, conflicts: int = 10**6
) -> dict[int, int] | Literal[False] | None:
    """Colour a graph's nodes so that no edge joins two of one colour.

    Returns
    -------
    dict[int, int] | Literal[False] | None
        A colour (from 0) for each node; False if that many colours are too few; None if that many
        conflicts did not decide it.
    """
    nodes = list(graph)
    place = {node: number for number, node in enumerate(nodes)}
    edges = np.array([(place[a], place[b]) for a, b in graph.edges()], dtype=np.int64)
    clauses = list(_colouring(len(nodes), edges.reshape(-1, 2), np.eye(colours, dtype=np.bool_)))
    # Colours are interchangeable, so one clique may be coloured beforehand.
    clique, _ = nx.max_weight_clique(graph, weight=None)
    if len(clique) > colours:
        return False
    clauses += [[_var(place[node], colour, colours)] for colour, node in enumerate(clique)]
    model, _ = _solve(clauses, conflicts)
    if model is None or model is False:
        return model
    chosen = np.array(model[: len(nodes) * colours]) > 0
    found = chosen.reshape(len(nodes), colours).argmax(axis=1)
    return dict(zip(nodes, found.tolist(), strict=True))


def _var(cell: int, choice: int, choices: int) -> int:
    return cell * choices + choice + 1


def _colouring(cells: int, edges: Ints, clash: Bools) -> Iterator[list[int]]:
    """Say that each cell takes one choice and each neighbour one that does not clash with it."""
    choices = len(clash)
    for cell in range(cells):
        own = [_var(cell, choice, choices) for choice in range(choices)]
        yield own
        yield from ([-one, -other] for one, other in combinations(own, 2))
    fits = [np.flatnonzero(~row).tolist() for row in clash]
    for first, second in edges.tolist():
        for one, other in ((first, second), (second, first)):
            for choice in range(choices):
                beside = [_var(other, fit, choices) for fit in fits[choice]]
                yield [-_var(one, choice, choices), *beside]


def _exactly(count: int, literals: list[int], top: int, clauses: list[list[int]]) -> int:
    """Say that so many of the literals hold; return the highest variable used."""
    encoded = CardEnc.equals(literals, count, top_id=top, encoding=EncType.seqcounter)
    clauses += encoded.clauses
    return max(top, int(encoded.nv))


def _crowd(
    crowd: list[int], classes: Classes, edges: Ints, top: int, clauses: list[list[int]]
) -> int:
    """Say again for classes that all clash that no two of their many cells touch.

    It follows from the rest, but the solver does not see it: proofs get several
    times shorter (measured).
    """
    cells, count = classes.accepts.shape
    held = list(range(top + 1, top + cells + 1))
    for cell in range(cells):
        members = [_var(cell, member, count) for member in crowd]
        clauses.append([-held[cell], *members])
        clauses += [[held[cell], -member] for member in members]
    clauses += [[-held[first], -held[second]] for first, second in edges.tolist()]
    return _exactly(int(classes.copies[crowd].sum()), held, top + cells, clauses)


def _solve(
    clauses: Iterable[list[int]], conflicts: int
) -> tuple[list[int] | Literal[False] | None, int]:
    """Return a model, False or None, and the conflicts used."""
    with Cadical195(bootstrap_with=clauses) as solver:
        solver.conf_budget(conflicts)
        answer = solver.solve_limited()
        used = int(solver.accum_stats()["conflicts"])
        if answer:
            return list(solver.get_model()), used
        return (False if answer is False else None), used

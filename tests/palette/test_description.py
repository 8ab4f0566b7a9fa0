"""What a fabric looks like in a few facts, from colours and prints made up for it."""

from __future__ import annotations

import pytest

from api.wording.naming import offered_name
from palette.colour import Lab, from_srgb
from palette.description import describe
from palette.fabric import Fabric, Print, PrintKind, Share
from palette.naming import Hue

RUST, CREAM, NAVY, BLUE = (
    from_srgb(183, 65, 14),
    Lab(93, 0, 12),
    from_srgb(0, 0, 128),
    Lab(58, -4, -14),
)


def cloth(kind: PrintKind, *parts: tuple[Lab, float]) -> Fabric:
    how = Print(kind, 5 * (4 * (0.0,),))
    return Fabric("a", "IMG 1234", parts[0][0], tuple(Share(*part) for part in parts), print=how)


@pytest.mark.parametrize(
    ("kind", "parts", "name"),
    [
        (PrintKind.DOT, [(RUST, 0.8), (CREAM, 0.2)], "Rust with cream dots"),
        (PrintKind.STRIPE, [(NAVY, 0.6), (CREAM, 0.4)], "Navy and cream stripes"),
        (PrintKind.CHECK, [(CREAM, 0.5), (NAVY, 0.3), (RUST, 0.2)], "Cream and navy check"),
        (PrintKind.ALL_OVER, [(CREAM, 0.9), (NAVY, 0.1)], "Cream with navy print"),
        (PrintKind.SOLID, [(BLUE, 1.0)], "Dusty blue"),
        (PrintKind.SOLID, [(RUST, 1.0)], "Rust"),
        # A fold's shade is no second colour, and so no print.
        (PrintKind.ALL_OVER, [(Lab(50, 10, -40), 0.6), (Lab(44, 10, -38), 0.4)], "Blue"),
        # Too little of a colour is not named.
        (PrintKind.STRIPE, [(NAVY, 0.97), (CREAM, 0.03)], "Navy stripes"),
    ],
)
def test_a_fabric_is_called_by_its_colours_and_its_print(
    kind: PrintKind, parts: list[tuple[Lab, float]], name: str
) -> None:
    assert offered_name(cloth(kind, *parts)) == name


def test_offered_names_are_unlike_each_other() -> None:
    three = cloth(PrintKind.DOT, (RUST, 0.6), (CREAM, 0.25), (NAVY, 0.15))
    taken: list[str] = []
    for _ in range(4):
        taken.append(offered_name(three, taken))
    assert taken == [
        "Rust with cream dots",
        "Rust with cream and navy dots",
        "Rust with cream dots 2",
        "Rust with cream dots 3",
    ]


def test_a_fabric_of_an_earlier_version_has_no_print_to_tell() -> None:
    plain = Fabric("a", "A", NAVY, (Share(NAVY, 1.0),))
    assert describe(plain).kind is PrintKind.SOLID
    two = Fabric("a", "A", NAVY, (Share(NAVY, 0.6), Share(CREAM, 0.4)))
    assert describe(two).kind is PrintKind.ALL_OVER
    assert [name.hue for name in describe(two).colours] == [Hue.NAVY, Hue.CREAM]

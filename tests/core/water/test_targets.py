"""Targets of water: every species has them, and each side that can be missed has its advice."""

import pytest

from app.core.species import SPECIES
from app.core.water.targets import ADVICE, ALL, KINDS, Range, advice, usual


@pytest.mark.parametrize("species", SPECIES)
def test_every_species_has_ranges_that_hold_together(species: str) -> None:
    ranges = usual(species)
    assert {"temperature", "pH", "GH", "KH", "nitrite"} <= set(ranges)
    for one in ranges.values():
        assert one.low is None or one.high is None or one.low < one.high
        assert one.source
        assert one.grade in {"A", "B", "C", "D", "E"}


def test_only_kinds_of_the_table_are_named() -> None:
    assert set(KINDS) <= set(SPECIES)


def test_a_range_holds_its_ends_and_is_open_where_nothing_is_said() -> None:
    assert Range(7.0, 8.0).holds(7.0)
    assert Range(7.0, 8.0).holds(8.0)
    assert not Range(7.0, 8.0).holds(8.1)
    assert Range(None, 0.2).holds(0.0)
    assert Range(3.0, None).holds(90.0)


def test_each_way_a_range_can_be_missed_has_its_advice() -> None:
    for name, one in {**ALL, **KINDS["guppy"]}.items():
        if one.low is not None:
            assert (name, False) in ADVICE
        if one.high is not None:
            assert (name, True) in ADVICE
    assert advice("KH", high=False) != advice("KH", high=True)

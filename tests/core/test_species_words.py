"""The numbers of a species in plain words."""

import pytest

from app.core.species import SPECIES
from app.core.species_words import WORDS, by_source


def test_every_number_of_the_table_has_words_of_its_own() -> None:
    named = {name for kind in SPECIES.values() for name in kind.sources}
    assert named == WORDS.keys()


@pytest.mark.parametrize("key", SPECIES)
def test_every_number_is_told_once_under_its_source(key: str) -> None:
    told = by_source(SPECIES[key])
    assert sum(len(one.numbers) for one in told) == len(SPECIES[key].sources)
    assert len({one.source for one in told}) == len(told)


def test_numbers_carry_their_units() -> None:
    told = {what: much for one in by_source(SPECIES["guppy"]) for what, much in one.numbers}
    assert told["From drop to drop, at 25 °C"] == "26 days"
    assert told["How fast females grow towards it (k)"] == "0.0072 a day"
    assert told["Fry in a usual brood"] == "22"

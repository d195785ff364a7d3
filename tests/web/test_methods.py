"""The Methods pages tell every model and every number."""

import pytest

from app.core.methods import METHODS
from app.core.species import SPECIES
from tests.support.client import Visitor


def test_every_method_has_a_page_with_its_sources(visit: Visitor) -> None:
    words = visit.open("/methods").words
    for method in METHODS.values():
        assert method.title in words
        assert "Sources" in visit.open(f"/methods/{method.key}").words


@pytest.mark.parametrize("key", SPECIES)
def test_every_number_of_a_species_has_a_source(visit: Visitor, key: str) -> None:
    page = visit.open(f"/methods/species/{key}")
    assert SPECIES[key].scientific_name in page.words


def test_an_unknown_method_is_not_found(visit: Visitor) -> None:
    visit.open("/methods/astrology", expect=404)
    visit.open("/methods/species/unicorn", expect=404)

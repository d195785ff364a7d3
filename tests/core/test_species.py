"""The species table: complete, sourced, and open to a keeper's own numbers."""

import pytest

from app.core.problems import Problem
from app.core.species import GRADES, SPECIES, Overrides, Reproduction, overridden, species

NUMBERS = [name for name in SPECIES["guppy"].sources if name != "sale_length_mm"]


@pytest.mark.parametrize("key", SPECIES)
def test_every_number_has_a_source_and_a_grade(key: str) -> None:
    sp = species(key)
    for name in SPECIES["guppy"].sources:
        if getattr(sp, name) is not None:
            source = sp.sources[name]
            assert source.grade in GRADES
            assert len(source.words) > 10


@pytest.mark.parametrize("key", SPECIES)
def test_numbers_are_possible(key: str) -> None:
    sp = species(key)
    assert sp.birth_tl_mm < sp.sale_length_mm < sp.linf_f_mm
    assert sp.brood_p10 < sp.brood_median < sp.brood_p90
    assert sp.first_brood_days >= sp.interval_days
    assert all(getattr(sp, name) is None or getattr(sp, name) >= 0 for name in NUMBERS)


def test_guppy_row_is_as_published() -> None:
    guppy = species("guppy")
    assert (guppy.interval_days, guppy.interval_sd_dam, guppy.interval_sd_within) == (26, 2.1, 2.0)
    assert guppy.reproduction is Reproduction.STORES_SPERM
    assert guppy.sources["interval_days"].grade == "A"


def test_blank_cells_are_unknown() -> None:
    assert species("least_killifish").interval_sd_dam is None
    assert species("halfbeak").split_by_days is None


@pytest.mark.parametrize(
    ("key", "expected"),
    [("redtail_goodeid", False), ("butterfly_goodeid", False), ("guppy", True), ("least_killifish", True)],
)
def test_only_goodeids_store_no_sperm(key: str, expected: bool) -> None:
    assert species(key).stores_sperm is expected


def test_an_unknown_species_is_refused_with_the_accepted_keys() -> None:
    with pytest.raises(Problem, match=r"no species 'gupy'; give one of guppy, endler") as refused:
        species("gupy")
    assert refused.value.field == "species"


def test_a_keeper_may_set_interval_sale_length_and_sexing_age() -> None:
    own = overridden(species("guppy"), Overrides(interval_days=28, sale_length_mm=25, sexable_age_days=35))
    assert (own.interval_days, own.sale_length_mm, own.sexable_age_days) == (28, 25, 35)
    assert "keeper" in own.sources["interval_days"].words
    assert own.sources["birth_tl_mm"] == species("guppy").sources["birth_tl_mm"]


def test_no_override_changes_nothing() -> None:
    assert overridden(species("guppy"), Overrides()) == species("guppy")


@pytest.mark.parametrize(
    ("overrides", "field"),
    [
        (Overrides(interval_days=3), "interval_days"),
        (Overrides(sale_length_mm=300), "sale_length_mm"),
        (Overrides(sexable_age_days=-4), "sexable_age_days"),
    ],
)
def test_an_unlikely_override_is_refused_with_the_range(overrides: Overrides, field: str) -> None:
    with pytest.raises(Problem, match=r"is not likely for guppy .*; give \d") as refused:
        overridden(species("guppy"), overrides)
    assert refused.value.field == field

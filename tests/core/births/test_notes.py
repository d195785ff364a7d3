"""What a keeper is told beside the dates."""

from datetime import date

import pytest

from app.core.births import Arrived, BirthEvidence, Exposed, forecast_birth
from app.core.species import species
from tests.core.births.build import MAY, day, dropped


def told(**more: object) -> str:
    return " | ".join(forecast_birth(dropped(**more)).notes)  # type: ignore[arg-type]


def test_a_bought_virgin_is_named() -> None:
    assert told(start=Arrived(MAY), virgin=True).startswith("she is a virgin")


def test_a_dam_said_to_have_been_alone_is_unlikely_to_carry() -> None:
    assert "more likely than not she is not carrying (1 in 10 that she is)" in told(
        start=Arrived(MAY, with_males=False)
    )


def test_an_unknown_phase_is_explained() -> None:
    assert "where she stood in her cycle when bought is unknown" in told(start=Arrived(MAY))


def test_a_dam_not_known_to_be_a_virgin_is_pointed_out() -> None:
    assert "not known to be a virgin" in told(start=Exposed(MAY))
    assert "not known to be a virgin" not in told(start=Exposed(MAY), virgin=True)


def test_removed_males_are_mentioned_with_the_falling_chances() -> None:
    text = told(start=Exposed(day(-20), day(-6)), virgin=True)
    assert "no male since 25 April: stored sperm runs out" in text
    assert "the chance of the drops after the next falls from 9 in 10" in text


@pytest.mark.parametrize("key", ["guppy", "mosquitofish"])
def test_well_studied_species_have_no_warning(key: str) -> None:
    assert told(key=key) == ""


def test_a_virgin_exposed_long_ago_is_not_told_that_she_met_no_male() -> None:
    told = BirthEvidence(
        species=species("guppy"), today=date(2026, 6, 15), start=Exposed(date(2026, 1, 1)), virgin=True
    )
    assert not any("has not been with males" in note for note in forecast_birth(told).notes)

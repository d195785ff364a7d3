"""Confidence grows with the batch's own checks."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from app.core.growth import GrowthEvidence, LengthCheck, fit_growth
from app.core.growth.words import standing_words
from app.core.species import species

BORN = date(2026, 1, 1)


def evidence(days: Sequence[int], key: str = "limia", fish: int = 6) -> GrowthEvidence:
    checks = [LengthCheck.summed(BORN + timedelta(days=d), fish, 9.0 + 0.25 * d) for d in days]
    return GrowthEvidence(species(key), BORN, BORN + timedelta(days=90), checks=checks)


@pytest.mark.parametrize(
    ("days", "expected"),
    [((), "low"), ((20, 40), "low"), ((20, 40, 60), "medium"), (range(20, 71, 10), "high")],
)
def test_confidence_grows_with_checks(days: Sequence[int], expected: str) -> None:
    assert fit_growth(evidence(days)).confidence == expected


def test_well_known_species_start_high() -> None:
    assert fit_growth(evidence((), "guppy")).confidence == "high"


def test_a_sample_of_one_fish_is_pointed_out() -> None:
    one = "One fish (21 January 2026 and 10 February 2026) says little of its batch"
    notes = fit_growth(evidence((20, 40), fish=1)).notes
    assert any(note.startswith(one) for note in notes)
    assert not any(note.startswith("One fish") for note in fit_growth(evidence((20, 40), fish=2)).notes)


def test_what_would_narrow_the_window_is_named() -> None:
    wanted = fit_growth(evidence((20,))).why.narrower
    assert wanted == (
        "length checks of ten fish on three days, two or more weeks apart",
        "the tank's temperature",
        "the sexes apart",
    )
    assert "more fish in each length check" in fit_growth(evidence((20, 40, 60), fish=2)).why.narrower


@pytest.mark.parametrize(
    ("standing", "percentile", "words"),
    [
        (None, None, "Not measured yet, so nothing can be said of its growth."),
        ("behind", 2.0, "Behind: nearly all batches like this one are longer by now."),
        ("behind", 12.0, "Behind: 9 in 10 batches like this one are longer by now."),
        ("on", 30.0, "On course: 3 in 10 batches like this one are shorter by now, 7 are longer."),
        ("ahead", 84.0, "Ahead: 8 in 10 batches like this one are shorter by now."),
        ("ahead", 99.9, "Ahead: nearly all batches like this one are shorter by now."),
    ],
)
def test_standing_is_told_with_its_share(standing: str | None, percentile: float | None, words: str) -> None:
    assert standing_words(standing, percentile) == words

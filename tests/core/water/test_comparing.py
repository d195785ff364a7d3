"""A test is compared with the ledger only as far as a kit can tell."""

import pytest

from app.core.water.comparing import disagreement
from app.core.water.ledger import Held


def test_a_twelfth_less_asks_for_a_change_that_was_not_logged() -> None:
    said = disagreement(Held.SALT, 2.64, 3.0)
    assert said == "12 % lower than the ledger says: was a change not logged?"


def test_more_than_expected_asks_for_a_dose_or_evaporation() -> None:
    said = disagreement(Held.GH, 12.0, 8.0)
    assert said == "50 % higher than the ledger says: was a dose not logged, or has water evaporated?"


@pytest.mark.parametrize(
    ("held", "tested", "expected"),
    [
        (Held.SALT, 2.8, 3.0),  # within what a hydrometer shows
        (Held.GH, 14.0, 15.5),  # within a tenth
        (Held.KH, 4.0, 4.9),  # within a drop
        (Held.NITRATE, 40.0, 5.0),  # fish make it
        (Held.SALT, 2.0, None),  # nothing to compare with
    ],
)
def test_what_a_kit_cannot_tell_is_no_disagreement(held: Held, tested: float, expected: float | None) -> None:
    assert disagreement(held, tested, expected) == ""


def test_salt_where_there_should_be_none() -> None:
    assert disagreement(Held.SALT, 1.0, 0.0) == "The ledger says none: was a dose not logged?"
    assert disagreement(Held.GH, 9.0, 0.5).startswith("The ledger says 0.5 °dH")

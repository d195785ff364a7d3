"""The main job on a phone: pairing, window, drop, counts, lengths, sexing, split, keepers, rehoming."""

from datetime import timedelta

import pytest

from tests.journeys.browser.conftest import FIRST_DAY, Fishroom
from tests.journeys.browser.phone import Phone
from tests.journeys.browser.test_first_hours import add_fish, add_tank, pair

pytestmark = pytest.mark.browser


def later(phone: Phone, fishroom: Fishroom, days: int) -> None:
    """Come back so many days after the first, to the rounds."""
    fishroom.day(FIRST_DAY + timedelta(days=days))
    phone.open("/")


def test_from_a_pairing_to_a_rehomed_batch(phone: Phone, fishroom: Fishroom) -> None:
    add_tank(phone, "Rack 1", "54 L")
    add_tank(phone, "Nursery", "20 gal")
    add_fish(phone, "A1", "Female", "Rack 1", line="Amber")
    add_fish(phone, "A9", "Male", "Rack 1")
    pair(phone, ("A1",), ("A9",), "Rack 1")

    later(phone, fishroom, 20)
    phone.open("/broodstock")
    phone.tap("A1", exact=True)
    phone.tap("A sign")
    phone.tap("Squared belly")
    phone.sees("squared belly")

    later(phone, fishroom, 38)
    phone.sees("Look at A1")
    phone.tap("A1 has dropped")
    phone.fill(live="16")
    phone.tap("Log the drop")
    phone.sees("16 live")

    later(phone, fishroom, 46)
    phone.sees("Count A1-1")
    phone.fill(alive="15")
    phone.tap("Log the count of A1-1")
    phone.sees("15")

    raise_and_rehome(phone, fishroom)


def raise_and_rehome(phone: Phone, fishroom: Fishroom) -> None:
    """Measure, sex, split, keep one and rehome the rest."""
    later(phone, fishroom, 54)
    phone.tap("Log lengths")
    phone.fill(lengths="11 12.5 11,8 12 13")
    phone.tap("Log the lengths")

    later(phone, fishroom, 64)
    phone.sees("Split A1-1")
    phone.tap("Sex and split")
    phone.fill(females="8", males="6")
    phone.choose("males_section_id", "Nursery")
    phone.tap("Part them")

    later(phone, fishroom, 130)
    phone.open("/batches")
    phone.tap("A1-1F", exact=True)
    phone.tap("Something else happened")
    phone.tap("Keep one")
    phone.pick("sex", "female")
    phone.fill(code="A21")
    phone.tap("Keep it")
    phone.open("/batches")
    phone.tap("A1-1F", exact=True)
    phone.tap("Rehome")
    phone.fill(number="7")
    phone.tap("Log the rehoming")
    phone.open("/rehomings")
    phone.sees("7")
    phone.open("/hindcast")
    phone.sees("1 of 1 drop")

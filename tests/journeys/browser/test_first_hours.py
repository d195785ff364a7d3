"""A new keeper's first hours: a tank, bought fish, a pairing, and a window with its reasons."""

import pytest

from tests.journeys.browser.conftest import Fishroom
from tests.journeys.browser.phone import Phone

pytestmark = pytest.mark.browser


def add_tank(phone: Phone, name: str, litres: str, sections: str = "1") -> None:
    """Put up a tank."""
    phone.open("/tanks/new")
    phone.fill(name=name, litres=litres, sections=sections)
    phone.tap("Put up the tank")
    phone.sees(f"Tank {name} put up")


def add_fish(phone: Phone, codes: str, sex: str, place: str, line: str = "") -> None:
    """Add grown fish that came today and never met the other sex; begin their line unless it is there."""
    phone.open("/broodstock/new")
    if line:
        phone.fill(new_line=line)
        phone.choose("new_species", "guppy")
    else:
        phone.choose("line_id", "Amber")
    phone.pick("sex", sex.lower())
    phone.fill(number=str(len(codes.split(","))), codes=codes, age="5 months", quarantine_days="0")
    phone.choose("section_id", place)
    phone.pick("with_males", "no")
    phone.tap("Add", exact=True)
    phone.sees(codes.split(",", maxsplit=1)[0])


def pair(phone: Phone, dams: tuple[str, ...], sires: tuple[str, ...], place: str) -> None:
    """Put fish together, after a look at what is known of them."""
    phone.open("/pairings/new")
    for code in dams + sires:
        phone.tick(code)
    phone.choose("section_id", place)
    phone.tap("Look them over")
    phone.sees("What is known of the dams")
    phone.tap("Put them together")


def test_from_an_empty_fishroom_to_a_birth_window(phone: Phone, fishroom: Fishroom) -> None:
    phone.open("/")
    phone.sees("Start with a tank")
    add_tank(phone, "Rack 1", "54 L")
    add_fish(phone, "A1, A2", "Female", "Rack 1", line="Amber")
    add_fish(phone, "A9", "Male", "Rack 1")
    pair(phone, ("A1", "A2"), ("A9",), "Rack 1")
    phone.open("/almanac")
    phone.sees("in 8 of 10 cases like this")
    phone.tap("A1")
    phone.tap("Why")
    phone.sees("Before any record")

"""A new keeper's first hours: a tank, bought fish, a pairing, and a window with its reasons."""

from time import monotonic

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
    phone.sees("Three minutes to the first birth window")
    add_tank(phone, "Rack 1", "54 L")
    add_fish(phone, "A1, A2", "Female", "Rack 1", line="Amber")
    add_fish(phone, "A9", "Male", "Rack 1")
    pair(phone, ("A1", "A2"), ("A9",), "Rack 1")
    phone.open("/almanac")
    phone.sees("in 8 of 10 cases like this")
    phone.tap("A1")
    phone.tap("Why")
    phone.sees("Before any record")


def test_the_first_steps_take_few_taps_and_less_than_three_minutes(phone: Phone, fishroom: Fishroom) -> None:
    begun = monotonic()
    phone.open("/")
    phone.tap("Begin")
    phone.sees("How do you measure?")
    zone = phone.page.locator("select[name=time_zone]").input_value()
    here = phone.page.evaluate("Intl.DateTimeFormat().resolvedOptions().timeZone")
    assert zone in {here, "America/New_York"}, "the browser's own zone, or its language's without scripts"
    phone.tap("Go on")
    phone.fill(name="Rack 1", litres="54 L")
    phone.tap("Put it up")
    phone.choose("species", "guppy")
    phone.fill(females="2", males="1", age="5 months")
    phone.pick("with_males", "no")
    phone.tap("Add them")
    phone.tap("They are together")
    phone.sees("in 8 of 10 cases like this")
    phone.tap("Why")
    phone.sees("Before any record")
    assert monotonic() - begun < 180
    phone.open("/start")
    phone.sees("Rounds")


def test_the_first_steps_can_all_be_skipped(phone: Phone, fishroom: Fishroom) -> None:
    phone.open("/start")
    for heading in ("How do you measure?", "Your first tank", "Who stands in it?", "Your first pairing"):
        phone.sees(heading)
        phone.tap("Skip this step")
    phone.sees("Three minutes to the first birth window")

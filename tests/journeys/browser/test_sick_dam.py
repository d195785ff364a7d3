"""A tuft on a swordtail's fin, treated on a phone; then a grow-out tank brought back to plain water."""

from datetime import timedelta

import pytest

from tests.journeys.browser.conftest import FIRST_DAY, Fishroom
from tests.journeys.browser.phone import Phone
from tests.journeys.browser.test_first_hours import add_tank
from tests.journeys.browser.test_main_job import later

pytestmark = pytest.mark.browser


def add_dam(phone: Phone, code: str, place: str) -> None:
    """Add a swordtail who stands alone."""
    phone.open("/broodstock/new")
    phone.fill(new_line="Sorrel")
    phone.choose("new_species", "swordtail")
    phone.pick("sex", "female")
    phone.fill(number="1", codes=code, age="8 months", quarantine_days="0")
    phone.choose("section_id", place)
    phone.pick("with_males", "no")
    phone.tap("Add", exact=True)
    phone.sees(code)


def add_water(phone: Phone) -> None:
    """Tell what the tap gives."""
    phone.open("/waters/new")
    phone.fill(name="Tap", salinity_g_per_l="0")
    phone.tap("Add it")
    phone.sees("Tap")


def open_case(phone: Phone, code: str) -> None:
    """Open a case with one sign, from the fish's page."""
    phone.open("/broodstock")
    phone.tap(code, exact=True)
    phone.tap("Something is wrong")
    phone.tick("Cotton-like tufts")
    phone.fill(suspected="a bite at feeding")
    phone.tap("Open the case")
    phone.sees("Cotton-like tufts")


def plan_course(phone: Phone) -> None:
    """Plan salt in two steps, after a look."""
    phone.tap("Plan a course")
    phone.fill(levels="1.5, 3", hold_days="5")
    phone.tap("Look it over")
    phone.sees("72 g")
    phone.tap("Save the course")
    phone.sees("1.5 g/L")


def do_step(phone: Phone, words: str) -> None:
    """Do today's step from the rounds."""
    phone.open("/")
    phone.tap("Do this step")
    phone.sees(words)
    phone.tap("It is in the water")


def test_a_tuft_on_her_fin_and_a_change_in_the_middle(phone: Phone, fishroom: Fishroom) -> None:
    add_tank(phone, "Rack 3", "48 L")
    add_dam(phone, "SO4", "Rack 3")
    add_water(phone)
    open_case(phone, "SO4")
    plan_course(phone)
    do_step(phone, "Add 72 g of table salt to Rack 3")
    later(phone, fishroom, 1)
    do_step(phone, "Add 72 g of table salt to Rack 3")

    later(phone, fishroom, 3)
    phone.open("/tanks")
    phone.tap("Rack 3", exact=True)
    phone.tap("Change water")
    phone.fill(volume="30 %")
    phone.tick("Tap")
    phone.tap("Log the change")
    phone.open("/")
    phone.sees("The 30 % change took 43 g of table salt")
    phone.tap("Put it back")
    phone.sees("Add 43 g of table salt to Rack 3")
    phone.tap("It is in the water")

    later(phone, fishroom, 7)
    phone.tap("Do this step")
    phone.tap("It is done")
    phone.open("/cases")
    phone.tap("Cotton-like tufts")
    phone.tap("Close the case")
    phone.pick("outcome", "recovered")
    phone.fill(what_helped="3 g/L of salt for five days")
    phone.tap("Close the case", exact=True)
    phone.sees("3 g/L of salt for five days")
    phone.open("/cases")
    phone.fill(words="five days")
    phone.tap("Search")
    phone.sees("recovered")


def salt_it(phone: Phone, place: str) -> None:
    """Bring a tank to three grams a litre, as for young from brackish water."""
    phone.open("/substances/new")
    phone.fill(name="sea salt")
    phone.choose("kind", "Salt")
    phone.tap("Add it")
    phone.open("/tanks")
    phone.tap(place, exact=True)
    phone.tap("Dose")
    phone.tap("sea salt")
    phone.fill(level="3 g/L")
    phone.tap("Log the dose")
    phone.sees("to 3 g/L")


def test_a_grow_out_tank_is_plain_again_on_the_day_the_ledger_said(phone: Phone, fishroom: Fishroom) -> None:
    add_tank(phone, "Grow-out", "90 L")
    add_water(phone)
    salt_it(phone, "Grow-out")
    later(phone, fishroom, 7)
    phone.open("/tanks")
    phone.tap("Grow-out", exact=True)
    phone.tap("Back to plain water")
    phone.fill(fraction="40 %", every_days="2")
    phone.choose("source_id", "Tap")
    phone.tap("Look it over")
    phone.sees("7 changes, done on 21 March")
    phone.tap("Save the plan")
    for day in range(7, 20, 2):
        fishroom.day(FIRST_DAY + timedelta(days=day))
        phone.open("/")
        phone.tap("Do this step")
        phone.choose("source_id", "Tap")
        phone.tap("It is done")
    phone.open("/plans/1")
    phone.sees("Nothing more")
    phone.sees("0.08 g/L")

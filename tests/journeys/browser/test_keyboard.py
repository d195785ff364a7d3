"""The main job by keyboard alone, the focus in sight at every step."""

from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from tests.journeys.browser.conftest import FIRST_DAY, Fishroom, screen
from tests.journeys.browser.keys import Keys

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def keys(chromium: "Browser", fishroom: Fishroom) -> Iterator[Keys]:
    """A keyboard at a desk, in an empty fishroom."""
    with screen(chromium, fishroom) as page:
        yield Keys(page)


def later(keys: Keys, fishroom: Fishroom, days: int) -> None:
    """Come back so many days after the first, to the rounds."""
    fishroom.day(FIRST_DAY + timedelta(days=days))
    keys.enter("Rounds")


def put_up(keys: Keys, name: str) -> None:
    """Put up a tank."""
    keys.enter("Tanks")
    keys.enter("Put up .*")
    keys.fill(name=name, litres="54 L")
    keys.enter("Put up the tank")
    keys.sees(f"Tank {name} put up")


def add_fish(keys: Keys, code: str, sex: str, *, line: str = "") -> None:
    """Add one grown fish, and begin its line when that is named."""
    keys.enter("Broodstock")
    keys.enter("Add fish|Add the first fish|Add your first fish")
    if line:
        keys.fill(new_line=line, new_species="guppy")
    else:
        keys.fill(line_id="Amber")
    keys.choose("sex", sex)
    keys.fill(codes=code)
    keys.choose("with_males", "no")
    keys.fill(age="5 months", section_id="Rack 1", quarantine_days="0")
    keys.enter("Add")
    keys.sees(code)


def test_the_skip_link_leads_past_the_menu(keys: Keys) -> None:
    first = keys.press("Tab")
    assert first is not None
    assert first.says == "Skip to the page"
    keys.page.keyboard.press("Enter")
    keys.page.keyboard.press("Tab")
    within = keys.focus()
    assert within is not None
    assert within.inside


def test_a_refused_form_takes_the_focus_to_what_is_wrong(keys: Keys) -> None:
    keys.enter("Tanks")
    keys.enter("Put up .*")
    keys.fill(name="Rack 1", litres="plenty")
    keys.enter("Put up the tank")
    told = keys.focus()
    assert told is not None
    assert told.says.startswith("This was not saved yet")
    link = keys.press("Tab")
    assert link is not None
    keys.page.keyboard.press("Enter")
    field = keys.focus()
    assert field is not None
    assert (field.name, field.value) == ("litres", "plenty")


def test_the_main_job_needs_no_pointer(keys: Keys, fishroom: Fishroom) -> None:
    put_up(keys, "Rack 1")
    put_up(keys, "Nursery")
    add_fish(keys, "A1", "female", line="Amber")
    add_fish(keys, "A9", "male")
    keys.enter("Broodstock")
    keys.enter("Make a pairing")
    keys.tick("A1.*")
    keys.tick("A9.*")
    keys.fill(section_id="Rack 1")
    keys.enter("Look them over")
    keys.enter("Put them together")
    keys.sees("A1")

    later(keys, fishroom, 38)
    keys.enter("A1 has dropped")
    keys.fill(live="16")
    keys.enter("Log the drop")
    keys.sees("16 live")

    later(keys, fishroom, 46)
    keys.fill(alive="15")
    keys.enter("Log the count.*")
    keys.sees("15")

    raise_and_rehome(keys, fishroom)


def raise_and_rehome(keys: Keys, fishroom: Fishroom) -> None:
    """Measure, sex and split, and rehome."""
    later(keys, fishroom, 54)
    keys.enter("Log lengths.*")
    keys.fill(lengths="11 12.5 11,8 12 13")
    keys.enter("Log the lengths")
    keys.sees("5 measured")

    later(keys, fishroom, 64)
    keys.enter("Sex and split.*")
    keys.fill(females="8", males="6", males_section_id="Nursery")
    keys.enter("Part them")

    later(keys, fishroom, 130)
    keys.enter("Rehome( .*)?")
    keys.fill(number="1")
    keys.enter("Log the rehoming")
    keys.sees("1 rehomed")
    keys.enter("Rehoming")
    keys.sees("A1-1")


@pytest.mark.parametrize("path", ["/", "/almanac/tanks", "/broodstock/1", "/methods/components"])
def test_the_focus_is_never_lost_on_a_phone(chromium: "Browser", demo: Fishroom, path: str) -> None:
    with screen(chromium, demo, 390) as page:
        page.goto(demo.address + path)
        keys = Keys(page)
        places = [keys.press("Tab") for _ in range(60)]
        assert len({(place.says, place.name, place.value) for place in places if place}) > 12

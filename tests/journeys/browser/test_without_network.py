"""The network goes away in the fishroom: the rounds stay, what is logged waits and arrives exactly once."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING

import pytest

from app.services import accounts
from app.services.stays import move
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.fishrooms import Fishroom as Room
from app.store.readings import Reading
from app.store.reminders import Answer
from app.store.session import enter, rows
from app.store.users import Role
from tests.factories import Made
from tests.journeys.browser.conftest import FIRST_DAY, Fishroom, keep, screen
from tests.journeys.browser.phone import axe_faults

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

pytestmark = pytest.mark.browser
KEPT = """async () => navigator.serviceWorker.controller?.state === "activated"
  ? (await (await caches.open("pages")).match("/"))?.headers.get("Broodwater-Member") ?? "" : "" """
"""Whose rounds are kept, once the worker looks after the page."""
WAITS = "1 entry waits for the network"


@pytest.fixture
def pair(fishroom: Fishroom) -> tuple[str, int]:
    """A dam whose window is open, and her tank."""
    with fishroom.sessions() as session:
        room = session.get_one(Room, 1)
        enter(session, room.id)
        now = datetime.combine(FIRST_DAY, time(9), UTC)
        made = Made(session, Actor(fishroom.user_id, room.id, Role.KEEPER, now, room.time_zone))
        line, his = made.line("guppy"), made.section()
        dam = made.dam(line)
        made.sire(line, his)
        move(session, made.actor, section_id=his.id, on=made.days_ago(44), fish_ids=[dam.id])
        session.commit()
        return dam.code, his.tank_id


@pytest.fixture
def page(chromium: "Browser", fishroom: Fishroom, pair: tuple[str, int]) -> "Iterator[Page]":
    """A phone on the rounds, which are kept."""
    with screen(chromium, fishroom, 390) as opened:
        opened.set_default_timeout(15_000)
        until_kept(opened, fishroom.user_id)
        yield opened


def until_kept(page: "Page", user_id: int) -> None:
    """Wait until a member's rounds are kept."""
    for _ in range(100):
        if str(page.evaluate(KEPT)).startswith(f"{user_id}-"):
            return
        page.wait_for_timeout(100)
    raise AssertionError("the rounds were not kept in ten seconds")


def broods(fishroom: Fishroom) -> list[tuple[str, int]]:
    """Return the drops that are logged, by day and live fry."""
    with fishroom.sessions() as session:
        enter(session, 1)
        return [(row.dropped_from.isoformat(), row.live) for row in rows(session, Brood)]


def log_drop(page: "Page", code: str, live: str) -> None:
    """Log a drop from the rounds with the count alone."""
    page.locator("summary").filter(has_text=f"{code} has dropped").click()
    page.locator("[name=live]:visible").fill(live)
    page.get_by_role("button", name="Log the drop").click()


def test_a_drop_without_network_arrives_exactly_once_with_its_day(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.context.set_offline(True)
    page.reload()
    page.get_by_text("No network. These are the rounds of").wait_for()
    log_drop(page, pair[0], "16")
    page.get_by_text(WAITS).wait_for()
    assert page.get_by_text("Waits to be sent").count() == 1
    keep(page, "rounds without network")
    assert axe_faults(page) == []
    page.reload()
    page.locator("[data-waiting] strong", has_text=f"{pair[0]} has dropped: Live fry 16").wait_for()
    assert broods(fishroom) == []

    fishroom.day(FIRST_DAY + timedelta(days=1))
    page.context.set_offline(False)
    page.get_by_text("Sent: ").wait_for()
    keep(page, "rounds with the network back")
    assert broods(fishroom) == [(FIRST_DAY.isoformat(), 16)]
    page.get_by_role("link", name="Show this page as it is now").first.click()
    page.locator("[data-waiting]").wait_for(state="hidden")
    assert broods(fishroom) == [(FIRST_DAY.isoformat(), 16)]


def test_an_answer_lost_in_the_middle_logs_once(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    lost = []

    def lose(route: "Route") -> None:
        route.fetch(max_redirects=0)  # the server does it
        lost.append(route.request.url)
        route.abort("connectionreset")  # and nobody hears of it

    page.route("**/drop", lose, times=1)
    log_drop(page, pair[0], "16")
    page.get_by_text("Sent: ").wait_for()
    assert len(lost) == 1
    assert [live for _, live in broods(fishroom)] == [16]


def test_a_form_with_a_page_of_its_own_waits_as_well(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.goto(f"{fishroom.address}/tanks/{pair[1]}/readings")
    page.context.set_offline(True)
    page.locator("[name=temperature_c]").fill("24.5")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text(WAITS).wait_for()
    assert page.locator("[name=temperature_c]").input_value() == ""
    fishroom.day(FIRST_DAY + timedelta(days=3))
    page.context.set_offline(False)
    page.get_by_text("Sent: ").wait_for()
    with fishroom.sessions() as session:
        enter(session, 1)
        (reading,) = rows(session, Reading)
    assert reading.taken_at.date() == FIRST_DAY


def test_an_answer_to_a_reminder_waits_and_can_be_cancelled(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.context.set_offline(True)
    page.get_by_role("button", name=re.compile("^Done")).first.click()
    page.get_by_text(WAITS).wait_for()
    page.get_by_role("button", name="Cancel").click()
    page.locator("[data-waiting]").wait_for(state="hidden")
    page.context.set_offline(False)
    page.reload()
    with fishroom.sessions() as session:
        enter(session, 1)
        assert rows(session, Answer) == []


def test_what_the_server_refuses_is_told_and_kept(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.goto(f"{fishroom.address}/tanks/{pair[1]}/readings")
    page.context.set_offline(True)
    page.locator("[name=temperature_c]").fill("77")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text(WAITS).wait_for()
    page.context.set_offline(False)
    page.get_by_text("1 entry was refused").wait_for()
    page.get_by_text("Not logged: ").wait_for()
    keep(page, "what waited was refused")
    page.reload()
    page.get_by_text("1 entry was refused").wait_for()
    page.get_by_role("button", name="Cancel").click()
    page.locator("[data-waiting]").wait_for(state="hidden")


def test_a_mistake_with_the_network_there_is_shown_on_the_form(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.goto(f"{fishroom.address}/tanks/{pair[1]}/readings")
    page.locator("[name=temperature_c]").fill("77")
    page.get_by_role("button", name="Log it").click()
    page.locator("#errors:focus").wait_for()
    assert page.locator("[name=temperature_c]").input_value() == "77"
    page.locator("[name=temperature_c]").fill("24")
    page.get_by_role("button", name="Log it").click()
    page.locator("[data-message]").wait_for()


def test_whoever_was_signed_out_meanwhile_loses_nothing(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.context.set_offline(True)
    log_drop(page, pair[0], "16")
    page.get_by_text(WAITS).wait_for()
    page.context.clear_cookies()
    page.context.set_offline(False)
    page.get_by_text("You are signed out.").wait_for()
    assert broods(fishroom) == []
    page.get_by_role("link", name="Sign in").click()
    page.get_by_text("1 entry waits on this device").wait_for()
    assert page.get_by_text(pair[0]).count() == 0
    page.goto(fishroom.link())
    page.get_by_text("Sent: ").wait_for()
    assert [live for _, live in broods(fishroom)] == [16]


def test_signing_out_forgets_the_rounds(page: "Page", fishroom: Fishroom) -> None:
    page.get_by_text("More", exact=True).click()
    page.get_by_role("button", name="Sign out").locator("visible=true").click()
    page.wait_for_url("**/sign-in")
    page.context.set_offline(True)
    page.goto(fishroom.address + "/")
    page.get_by_role("heading", name="No network").wait_for()
    keep(page, "no network after signing out")
    assert axe_faults(page) == []
    assert page.evaluate(KEPT) == ""


def test_another_member_never_sees_the_rounds_nor_sends_what_waited(
    page: "Page", fishroom: Fishroom, pair: tuple[str, int]
) -> None:
    page.context.set_offline(True)
    log_drop(page, pair[0], "16")
    page.get_by_text(WAITS).wait_for()
    page.context.clear_cookies()
    page.context.set_offline(False)
    mine = fishroom.user_id
    with fishroom.sessions() as session:
        now = datetime.combine(FIRST_DAY, time(9), UTC)
        room = accounts.add_fishroom(session, "Attic", now)
        user = accounts.add_user(session, "other@fish.example", "a long enough password", now)
        accounts.add_member(session, room, user, Role.KEEPER)
        session.commit()
        fishroom.user_id = user.id
    page.goto(fishroom.link())
    page.get_by_text("Three minutes to the first birth window").wait_for()
    assert page.locator("[data-waiting]").is_hidden()
    until_kept(page, fishroom.user_id)
    page.context.set_offline(True)
    page.reload()
    page.get_by_text("No network. These are the rounds of").wait_for()
    assert page.get_by_text(pair[0]).count() == 0
    assert broods(fishroom) == []
    fishroom.user_id = mine


def test_other_pages_say_that_there_is_no_network(page: "Page", fishroom: Fishroom) -> None:
    page.context.set_offline(True)
    page.goto(fishroom.address + "/broodstock")
    page.get_by_role("heading", name="No network").wait_for()
    page.get_by_role("link", name="Go to the rounds").click()
    page.get_by_text("No network. These are the rounds of").wait_for()

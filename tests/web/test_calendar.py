"""The calendar's private address."""

import re

from icalendar import Calendar

from app.store.reminders import CalendarFeed
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor
from tests.web.test_rounds import waiting_dam


def made_address(visit: Visitor) -> str:
    page = visit.post("/calendar", "/calendar")
    found = re.search(r"(/calendar/[\w-]+\.ics)", page.text)
    assert found is not None
    return found[1]


def test_a_calendar_reads_the_windows_without_signing_in(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 20)
    address = made_address(visit)
    answer = visit.app.test_client().get(address)
    assert answer.status_code == 200
    assert answer.mimetype == "text/calendar"
    events = list(Calendar.from_ical(answer.get_data()).walk("VEVENT"))
    assert any(dam.code in str(event["SUMMARY"]) for event in events)
    uids = [str(event["UID"]) for event in events]
    assert len(uids) == len(set(uids))


def test_the_secret_is_shown_once_and_dies_when_taken_back(visit: Visitor) -> None:
    address = made_address(visit)
    page = visit.open("/calendar")
    assert address not in page.text
    revoke = next(f.get("action") for f in page.all("form") if "revoke" in (f.get("action") or ""))
    visit.post(revoke or "", "/calendar")
    assert visit.app.test_client().get(address).status_code == 404


def test_a_wrong_address_finds_nothing(visit: Visitor) -> None:
    assert visit.app.test_client().get("/calendar/guessed.ics").status_code == 404


def test_a_helper_does_not_take_back_the_keepers_address(
    visit: Visitor, helping: Visitor, made: Made
) -> None:
    made_address(visit)
    feed = rows(made.session, CalendarFeed)[-1]
    assert helping.post(f"/calendar/{feed.id}/revoke").status == 404
    assert feed.revoked_at is None

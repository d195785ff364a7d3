"""The calendar's private address."""

import re
from datetime import timedelta

from freezegun import freeze_time
from icalendar import Calendar
from werkzeug.test import TestResponse

from app.services.broods import log_drop
from app.store.reminders import CalendarEvent, CalendarFeed
from app.store.session import rows
from tests.conftest import NOON
from tests.factories import Made
from tests.notify.test_calendar import check
from tests.support.client import Visitor
from tests.web.test_rounds import waiting_dam


def made_address(visit: Visitor, **chosen: object) -> str:
    page = visit.post("/calendar", "/calendar", **chosen)
    found = re.search(r"(/calendar/[\w-]+\.ics)", page.text)
    assert found is not None
    return found[1]


def asked(visit: Visitor, address: str, etag: str = "") -> TestResponse:
    return visit.app.test_client().get(address, headers={"If-None-Match": etag} if etag else {})


def events(answer: TestResponse) -> dict[str, tuple[str, int]]:
    """Return the state and number of every event, by its name's first part."""
    check(answer.get_data())
    found = Calendar.from_ical(answer.get_data()).walk("VEVENT")
    return {str(e["UID"]).split("@")[0]: (str(e["STATUS"]), int(str(e["SEQUENCE"]))) for e in found}


def test_a_calendar_reads_the_windows_without_signing_in(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 20)
    answer = asked(visit, made_address(visit))
    assert (answer.status_code, answer.mimetype) == (200, "text/calendar")
    check(answer.get_data())
    found = list(Calendar.from_ical(answer.get_data()).walk("VEVENT"))
    assert any(dam.code in str(event["SUMMARY"]) for event in found)
    uids = [str(event["UID"]) for event in found]
    assert len(uids) == len(set(uids))


def test_a_calendar_that_has_the_newest_is_told_so(visit: Visitor, made: Made) -> None:
    waiting_dam(made, 20)
    address = made_address(visit)
    first = asked(visit, address)
    etag = first.headers["ETag"]
    again = asked(visit, address, etag)
    assert (again.status_code, again.get_data()) == (304, b"")
    assert asked(visit, address).get_data() == first.get_data()
    made.tank("Another")
    made.batch(made.line("guppy"))
    made.session.commit()
    assert asked(visit, address, etag).status_code == 200


def test_a_drop_cancels_the_window_it_was_expected_in(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 20)
    address = made_address(visit)
    before = events(asked(visit, address))
    log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.actor.today, live=12)
    made.session.commit()
    after = events(asked(visit, address))
    gone = {uid for uid, (status, _) in after.items() if status == "CANCELLED"}
    assert gone
    assert gone <= before.keys()
    assert all(after[uid][1] == before[uid][1] + 1 for uid in gone)
    assert after.keys() - before.keys()
    with freeze_time(NOON + timedelta(days=31), ignore=["_pytest."]):
        assert not gone & events(asked(visit, address)).keys()


def test_an_address_shows_its_kinds_and_rings_as_chosen(visit: Visitor, made: Made) -> None:
    waiting_dam(made, 20)
    made.batch(made.line("guppy"))
    made.session.commit()
    address = made_address(visit, label="phone", kinds=["ready"], alarm_hour="7")
    answer = asked(visit, address)
    assert {uid.split("-")[0] for uid in events(answer)} == {"ready"}
    assert b"TRIGGER:PT7H" in answer.get_data()
    words = visit.open("/calendar").words
    assert "phone" in words
    assert "Rehoming; rings at 07:00." in words


def test_a_look_at_the_calendar_keeps_only_what_it_told(visit: Visitor, made: Made) -> None:
    waiting_dam(made, 20)
    address = made_address(visit)
    count = len(rows(made.session, CalendarEvent))
    asked(visit, address)
    told = {row.uid: row.sequence for row in rows(made.session, CalendarEvent)}
    asked(visit, address)
    made.session.expire_all()
    assert count == 0
    assert {row.uid: row.sequence for row in rows(made.session, CalendarEvent)} == told


def test_too_long_a_name_is_refused_on_its_field(visit: Visitor) -> None:
    page = visit.post("/calendar", "/calendar", label="x" * 61)
    assert page.status == 422
    assert "60 letters" in page.words


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

"""What an attacker would try: other people's sessions, links, addresses and letters."""

from datetime import timedelta

import pytest
from flask import Flask
from sqlalchemy import text
from werkzeug.test import encode_multipart

from app.core.problems import Problem
from app.services import accounts, feeds
from app.services.reminders import mute
from app.store.reminders import Muted
from app.store.session import RoomSession, enter, rows
from app.store.users import SigninLink, User
from tests.conftest import NOON, PASSWORD, People
from tests.factories import Made
from tests.support.client import Page, Visitor
from tests.web.test_access import ids, routes
from tests.web.test_signin import knock

__all__ = ["ids"]
NEW = "another long password"
OTHER_SITES = ["/\t/evil.example", "/\n/evil.example", "/\r//evil.example", "/\x00/evil.example", "/a\\..\\b"]


@pytest.mark.parametrize("bad", OTHER_SITES)
def test_the_way_on_cannot_hide_another_site_behind_letters_that_browsers_drop(app: Flask, bad: str) -> None:
    client = app.test_client()
    token = Page(app, client.get("/sign-in")).token
    data = {"csrf_token": token, "email": "keeper@fish.example", "password": PASSWORD, "next": bad}
    answer = client.post("/sign-in", data=data)
    assert answer.status_code in {303, 400, 422}
    assert answer.headers.get("Location", "/") == "/"


def test_a_changed_password_ends_every_other_session(visit: Visitor, people: People) -> None:
    elsewhere = Visitor(visit.app, people.keeper)
    elsewhere.open("/")
    changed = visit.send("/settings/password", old=PASSWORD, new=NEW, again=NEW)
    assert "Your password is changed." in changed.words
    visit.open("/")
    assert elsewhere.client.get("/").status_code == 303


def test_a_session_without_the_mark_of_the_password_is_none(visit: Visitor) -> None:
    with visit.client.session_transaction() as kept:
        del kept["password"]
    assert visit.client.get("/").status_code == 303


def test_the_old_password_cannot_be_tried_out_without_end(visit: Visitor) -> None:
    for _ in range(10):
        visit.send("/settings/password", old="wrong wrong wrong", new=NEW, again=NEW)
    page = visit.send("/settings/password", old=PASSWORD, new=NEW, again=NEW)
    assert page.status == 429


def test_one_address_cannot_try_one_password_at_every_account(visit: Visitor) -> None:
    for number in range(60):
        knock(visit, f"member{number}@fish.example", "one password for all")
    assert "Too many tries" in knock(visit, "keeper@fish.example", PASSWORD).words


def test_a_link_that_another_request_has_just_spent_lets_nobody_in(
    session: RoomSession, people: People
) -> None:
    token = accounts.make_link(session, session.get_one(User, people.keeper.user_id), NOON)
    link = rows_of_links(session)[-1]
    assert link.used_at is None
    session.execute(text("UPDATE signin_link SET used_at = :now"), {"now": str(NOON)})
    assert accounts.use_link(session, token, NOON + timedelta(minutes=1)) is None


def rows_of_links(session: RoomSession) -> list[SigninLink]:
    return session.query(SigninLink).all()


def test_addresses_in_a_calendar_are_the_servers_own_whatever_host_was_asked(
    app: Flask, made: Made, ids: dict[str, int]
) -> None:
    token = feeds.make_feed(made.session, made.actor)
    made.session.commit()
    answer = app.test_client().get(f"/calendar/{token}.ics", headers={"Host": "evil.example"})
    assert b"URL:http://127.0.0.1:8080/" in answer.get_data()
    assert b"evil.example" not in answer.get_data()


def test_the_calendars_own_address_is_shown_with_the_servers_host(visit: Visitor) -> None:
    token = Page(visit.app, visit.client.get("/calendar")).token
    answer = visit.client.post("/calendar", data={"csrf_token": token}, base_url="http://localhost")
    assert "http://127.0.0.1:8080/calendar/" in answer.get_data(as_text=True)


def test_a_number_that_no_database_holds_leads_nowhere(
    app: Flask, visit: Visitor, ids: dict[str, int]
) -> None:
    found: dict[str, int] = {}
    for rule in routes(app):
        numbers = {name: 10**25 for name in rule.arguments if name.endswith("_id")}
        if numbers and "GET" in (rule.methods or ()):
            path = str(rule).replace("<int:", "<")
            for name in numbers:
                path = path.replace(f"<{name}>", str(10**25))
            found[path] = visit.client.get(path).status_code
    assert len(found) > 20
    assert set(found.values()) == {404}


@pytest.mark.parametrize("way", ["/tanks?x=%00", "/cases?words=a%00b", "/lines/%00"])
def test_a_letter_that_no_database_keeps_is_refused_in_addresses(visit: Visitor, way: str) -> None:
    assert visit.client.get(way).status_code in {400, 404}


def test_a_letter_that_no_database_keeps_is_refused_in_forms(visit: Visitor, made: Made) -> None:
    token = Page(visit.app, visit.client.get("/lines/new")).token
    fields = {"csrf_token": token, "name": "a\0b", "species": "guppy", "note": ""}
    assert visit.client.post("/lines/new", data=fields).status_code == 400
    assert visit.client.post("/lines/new", data={**fields, "name": "ab"}).status_code == 303


def test_a_large_file_that_was_looked_over_comes_back_whole(visit: Visitor) -> None:
    token = Page(visit.app, visit.client.get("/readings/import")).token
    data = {"csrf_token": token, "packed": "A" * 2_000_000, "tank_id": ""}
    boundary, body = encode_multipart(data)
    kind = f"multipart/form-data; boundary={boundary}"
    sent = visit.client.post("/readings/import", data=body, content_type=kind)
    assert sent.status_code == 422


@pytest.mark.parametrize("number", ["²", "٣", "9" * 30, "0"], ids=["raised", "arabic", "long", "none"])
def test_a_reminder_silenced_for_a_number_that_is_none_breaks_no_page(
    visit: Visitor, made: Made, number: str
) -> None:
    fields = {"rule": "fry_place", "subject": f"fish:{number}", "kind": "never", "key": "x", "words": ""}
    token = Page(visit.app, visit.client.get("/history")).token
    visit.client.post("/reminders", data={"csrf_token": token, **fields})
    with pytest.raises(LookupError if number.isascii() else Problem):
        mute(made.session, made.actor, rule="fry_place", subject=f"fish:{number}")
    visit.open("/settings/reminders")
    assert rows(made.session, Muted) == []


def test_a_reminder_is_silenced_for_no_fish_of_another_fishroom(made: Made, people: People) -> None:
    enter(made.session, people.stranger.fishroom_id)
    theirs = Made(made.session, people.stranger).dam()
    enter(made.session, people.keeper.fishroom_id)
    with pytest.raises(LookupError):
        mute(made.session, made.actor, rule="fry_place", subject=f"fish:{theirs.id}")


@pytest.mark.parametrize(
    "path", ["/broods", "/broods.csv", "/batches", "/broodstock", "/pairings", "/projects/new"]
)
def test_a_number_in_an_address_that_no_row_can_have_is_as_none(visit: Visitor, path: str) -> None:
    for number in ("99999999999999999999", "-3", "0", "x"):
        assert visit.open(f"{path}?line={number}").status == 200

"""Forms that waited without network, as the server meets them: counted once, answered for a script."""

from typing import Any

import pytest
from werkzeug.test import TestResponse

from app.services import sent_once
from app.store.broods import Brood
from app.store.channels import SentOnce
from app.store.journal import Act
from app.store.readings import Reading
from app.store.session import rows
from app.web.waiting import HEADER
from tests.factories import Made
from tests.support.client import Page, Visitor
from tests.web.test_rounds import waiting_dam


def sent(visit: Visitor, path: str, how: str, **fields: Any) -> TestResponse:  # noqa: ANN401
    """Send a form as the page's script does, with a fresh token."""
    token = visit.client.get("/waiting").json["token"]  # type: ignore[index]
    return visit.client.post(path, data={"csrf_token": token, **fields}, headers={HEADER: how})


def test_a_drop_that_comes_twice_counts_once_and_is_answered_as_at_first(visit: Visitor, made: Made) -> None:
    path = f"/broodstock/{waiting_dam(made).id}/drop"
    first = sent(visit, path, "later", live="14", once="k1")
    again = sent(visit, path, "later", live="14", once="k1")
    assert first.status_code == again.status_code == 200
    assert first.json["words"] == again.json["words"]  # type: ignore[index]
    assert "14 live" in first.json["words"]  # type: ignore[index]
    assert len(rows(made.session, Brood)) == 1


def test_another_key_is_another_entry(visit: Visitor, made: Made) -> None:
    tank = made.section().tank_id
    made.session.commit()
    for key, at in (("k1", "10:00"), ("k2", "11:00"), ("k2", "12:00")):
        fields = {"temperature_c": "24", "on": "2026-06-15", "at": at}
        sent(visit, f"/tanks/{tank}/readings", "later", once=key, **fields)
    assert len(rows(made.session, Reading)) == 2


def test_a_form_that_was_refused_may_come_again_with_its_key(visit: Visitor, made: Made) -> None:
    tank = made.section().tank_id
    made.session.commit()
    path = f"/tanks/{tank}/readings"
    assert sent(visit, path, "later", temperature_c="77", once="k1").status_code == 422
    assert rows(made.session, SentOnce) == []
    assert sent(visit, path, "later", temperature_c="24", once="k1").status_code == 200
    assert [row.key for row in rows(made.session, SentOnce)] == ["k1"]


def test_without_a_script_a_repeat_leads_on_and_says_so(visit: Visitor, made: Made) -> None:
    path = f"/broodstock/{waiting_dam(made).id}/drop"
    visit.post(path, "/", live="14", once="k1", next="/")
    page = visit.post(path, "/", live="14", once="k1", next="/")
    assert "counted once" in page.words
    assert len(rows(made.session, Brood)) == 1


def test_two_requests_at_the_same_moment_count_once(
    visit: Visitor, made: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second looks before the first is there, and meets its key when it takes its own."""
    path = f"/broodstock/{waiting_dam(made).id}/drop"
    sent(visit, path, "later", live="14", once="k1")
    answers = iter([None])
    known = sent_once.first_answer
    monkeypatch.setattr(sent_once, "first_answer", lambda *given: next(answers, known(*given)))
    answer = sent(visit, path, "later", live="3", once="k1", sooner="y")
    assert "14 live" in answer.json["words"]  # type: ignore[index]
    assert len(rows(made.session, Brood)) == 1


def test_a_form_sent_now_leads_to_the_page_that_says_what_was_done(visit: Visitor, made: Made) -> None:
    path = f"/broodstock/{waiting_dam(made).id}/drop"
    answer = sent(visit, path, "now", live="14", once="k1")
    page = visit.open(answer.json["to"])  # type: ignore[index]
    assert "14 live" in page.words
    assert "Undo" in page.words


def test_a_form_that_had_waited_leaves_no_message_for_the_next_page(visit: Visitor, made: Made) -> None:
    sent(visit, f"/broodstock/{waiting_dam(made).id}/drop", "later", live="14", once="k1")
    assert "data-message" not in visit.open("/tanks").text


def test_a_refused_answer_to_a_reminder_is_told_not_hidden_behind_a_page(visit: Visitor) -> None:
    answer = sent(visit, "/reminders", "later", kind="done", once="k1")
    assert answer.status_code == 422
    assert "Which reminder?" in answer.json["words"]  # type: ignore[index]


def test_a_walk_that_waited_is_dated_when_it_was_walked(visit: Visitor, made: Made) -> None:
    tank = made.section().tank_id
    made.session.commit()
    fields = {f"tank_{tank}": "24", "on": "2026-06-14", "at": "18:30"}
    assert sent(visit, "/readings/new", "later", once="k1", **fields).status_code == 200
    assert rows(made.session, Reading)[0].taken_at.isoformat() == "2026-06-14T16:30:00+00:00"


def test_a_key_that_cannot_be_one_is_passed_over(visit: Visitor, made: Made) -> None:
    path = f"/broodstock/{waiting_dam(made).id}/drop"
    assert sent(visit, path, "later", live="14", once="x" * 80).status_code == 200
    assert rows(made.session, SentOnce) == []


def test_the_ticket_is_for_members_only(visit: Visitor, outsider: Visitor) -> None:
    mine, other = visit.client.get("/waiting").json, outsider.client.get("/waiting").json
    assert mine is not None
    assert other is not None
    assert mine["member"] != other["member"]
    assert visit.app.test_client().get("/waiting").status_code == 303


def test_each_page_says_whose_it_is(visit: Visitor) -> None:
    page = visit.open("/")
    html = next(page.all("html"))
    assert page.answer.headers["Broodwater-Member"] == html.get("data-member")
    assert html.get("data-zone") == "Europe/Berlin"
    assert html.get("data-now") == "1781524800000"
    signed_out = visit.app.test_client().get("/sign-in")
    assert "Broodwater-Member" not in signed_out.headers


@pytest.mark.parametrize("path", ["/batches/{}/count", "/batches/{}/loss", "/batches/{}/lengths"])
def test_what_is_logged_at_the_tank_may_wait(visit: Visitor, made: Made, path: str) -> None:
    batch = made.batch()
    made.session.commit()
    assert 'data-waits="on"' in visit.open(path.format(batch.id)).text


def test_acts_that_waited_are_in_the_journal_once(visit: Visitor, made: Made) -> None:
    path = f"/broodstock/{waiting_dam(made).id}/drop"
    for _ in range(3):
        sent(visit, path, "later", live="14", once="k1")
    told = [act.words for act in rows(made.session, Act) if "14 live" in act.words]
    assert len(told) == 1


def test_the_worker_may_look_after_every_page_and_knows_this_versions_files(visit: Visitor) -> None:
    answer = visit.app.test_client().get("/worker.js")
    words = answer.get_data(as_text=True)
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert answer.headers["Cache-Control"] == "no-cache"
    assert words.startswith(f'const STATIC = "{visit.app.static_url_path}/"')
    names = words.split("const ASSETS = [")[1].split("]")[0].split('"')[1::2]
    assert len(names) > 8
    for name in names:
        with visit.client.get(f"{visit.app.static_url_path}/{name}") as file:
            assert file.status_code == 200


def test_the_offline_page_is_nobodys(visit: Visitor) -> None:
    page = Page(visit.app, visit.app.test_client().get("/offline"))
    assert "No network" in page.words
    assert "csrf" not in page.text


def test_the_manifest_can_be_installed_from(visit: Visitor) -> None:
    link = next(e for e in visit.open("/").all("link") if e.get("rel") == "manifest")
    with visit.client.get(link.get("href") or "") as answer:
        assert answer.mimetype == "application/manifest+json"
        assert answer.get_json(force=True)["start_url"] == "/"


@pytest.mark.parametrize(("theme", "colours"), [("dark", ["#0b1316"]), ("", ["#e9eee9", "#0b1316"])])
def test_the_bar_of_the_phone_has_the_colour_of_the_page(
    visit: Visitor, theme: str, colours: list[str]
) -> None:
    page = visit.post("/theme", "/", theme=theme, next="/")
    assert [e.get("content") for e in page.all("meta") if e.get("name") == "theme-color"] == colours

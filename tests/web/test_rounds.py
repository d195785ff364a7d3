"""The rounds, from a phone's point of view but without a browser."""

from app.services.stays import move
from app.store.fish import Fish
from tests.factories import Made
from tests.support.client import Visitor


def waiting_dam(made: Made, days: int = 44) -> Fish:
    line, his = made.line("guppy"), made.section()
    dam = made.dam(line)
    made.sire(line, his)
    move(made.session, made.actor, section_id=his.id, on=made.days_ago(days), fish_ids=[dam.id])
    made.session.commit()
    return dam


def test_an_empty_fishroom_is_led_to_its_first_tank(visit: Visitor) -> None:
    page = visit.open("/")
    assert "Put up a tank" in page.words


def test_a_drop_is_logged_from_the_rounds_with_the_count_alone(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made)
    page = visit.open("/")
    assert f"Look at {dam.code}" in page.words
    after = visit.post(f"/broodstock/{dam.id}/drop", "/", live="14", next="/")
    assert "14" in after.words
    assert f"Look at {dam.code}: her window is open" not in after.words


def test_a_reminder_is_answered_and_does_not_come_back_today(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made)
    page = visit.open("/")
    key = next(f.get("value") for f in page.all("input") if f.get("name") == "key")
    after = visit.post("/reminders", "/", key=key, kind="done", words="watch")
    assert "Done: watch" in after.words
    assert f"Look at {dam.code}: her window is open" not in after.words


def test_a_reader_sees_the_rounds_without_buttons(reading: Visitor, made: Made) -> None:
    waiting_dam(made)
    page = reading.open("/")
    assert "Log the drop" not in page.words


def test_a_reader_who_posts_anyway_is_told_why_not(reading: Visitor, made: Made) -> None:
    page = reading.post("/reminders", "/", key="count:1:2026-06-01", kind="done", words="count")
    assert page.status == 403
    assert "helper" in page.words


def test_a_count_is_logged_from_the_rounds_with_the_number_alone(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=8)
    made.session.commit()
    assert f"Count {batch.code}" in visit.open("/").words
    after = visit.post(f"/batches/{batch.id}/count", "/", alive="18", next="/")
    assert after.status == 200
    assert "Nothing is due today" in after.words


def test_a_refused_count_keeps_what_was_typed(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=8)
    made.session.commit()
    page = visit.post(f"/batches/{batch.id}/count", "/", alive="some", next="/")
    assert page.status == 422
    assert page.value("alive") == "some"

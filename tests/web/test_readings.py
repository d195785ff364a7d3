"""Temperatures on the page."""

from datetime import UTC, datetime

from app.services import moments, readings
from app.store.readings import Reading
from app.store.session import rows
from tests.conftest import NOON
from tests.factories import Made
from tests.support.client import Visitor


def logged(made: Made) -> list[tuple[datetime, float]]:
    return [(r.taken_at, round(r.value, 2)) for r in rows(made.session, Reading)]


def test_a_temperature_is_logged_from_the_tank_with_the_number_alone(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack")
    made.session.commit()
    page = visit.post(
        f"/tanks/{tank.id}/readings?next=/tanks/{tank.id}", f"/tanks/{tank.id}", temperature_c="76 F"
    )
    assert "Rack: 24.4 °C logged" in page.words
    assert logged(made) == [(NOON, 24.44)]


def test_an_earlier_day_and_hour_can_be_given(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    visit.send(f"/tanks/{tank.id}/readings", temperature_c="24.5", on="2026-06-14", at="18:30")
    assert logged(made) == [(datetime(2026, 6, 14, 16, 30, tzinfo=UTC), 24.5)]


def test_what_no_tank_has_is_refused_and_kept(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    page = visit.send(f"/tanks/{tank.id}/readings", temperature_c="77", on="2026-06-14", at="18:30")
    assert page.status == 422
    assert "°F?" in page.words
    assert (page.value("temperature_c"), page.value("on")) == ("77", "2026-06-14")


def test_a_time_ahead_is_refused(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    page = visit.send(f"/tanks/{tank.id}/readings", temperature_c="24", on="2026-06-16")
    assert "still ahead" in page.words
    assert logged(made) == []


def test_a_walk_logs_what_was_read_and_leaves_out_the_rest(visit: Visitor, made: Made) -> None:
    one, two = made.tank("One"), made.tank("Two")
    made.session.commit()
    page = visit.send("/readings/new", **{f"tank_{one.id}": "24", f"tank_{two.id}": ""})
    assert "One: 24 °C logged" in page.words
    assert [r.tank_id for r in rows(made.session, Reading)] == [one.id]


def test_a_walk_with_one_slip_logs_nothing_and_keeps_all(visit: Visitor, made: Made) -> None:
    one, two = made.tank("One"), made.tank("Two")
    made.session.commit()
    page = visit.send("/readings/new", **{f"tank_{one.id}": "24", f"tank_{two.id}": "warm"})
    assert page.status == 422
    assert page.value(f"tank_{one.id}") == "24"
    assert logged(made) == []


def test_a_walk_on_which_nothing_was_read_says_so(visit: Visitor, made: Made) -> None:
    made.tank()
    made.session.commit()
    assert "Nothing was read" in visit.send("/readings/new").words


def test_a_paste_is_shown_before_it_is_saved(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    path, lines = f"/tanks/{tank.id}/readings/paste", "2026-06-01\t24.5\r\n2 June; 25\r\n"
    first = visit.send(path, lines=lines)
    assert "2 temperatures of 2 days read. Nothing is saved yet." in first.words
    assert logged(made) == []
    page = visit.send(path, lines=lines, looked=first.value("looked"))
    assert "2 temperatures logged" in page.words
    assert len(logged(made)) == 2


def test_a_paste_changed_after_the_look_is_shown_again(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    path = f"/tanks/{tank.id}/readings/paste"
    first = visit.send(path, lines="2026-06-01 24.5")
    again = visit.send(path, lines="2026-06-01 14.5", looked=first.value("looked"))
    assert "Nothing is saved yet" in again.words
    assert logged(made) == []


def test_a_line_that_cannot_be_read_is_shown_with_its_trouble(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    page = visit.send(f"/tanks/{tank.id}/readings/paste", lines="2026-06-01 24.5\n2026-06-02 77")
    assert page.status == 422
    assert "°F?" in page.words
    assert "1 line could not be read" in page.words
    assert (page.value("lines") or "").strip() == "2026-06-01 24.5\n2026-06-02 77"


def test_a_paste_with_a_day_ahead_is_refused(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    path, lines = f"/tanks/{tank.id}/readings/paste", "2026-06-20 24.5"
    first = visit.send(path, lines=lines)
    page = visit.send(path, lines=lines, looked=first.value("looked"))
    assert page.status == 422
    assert "still ahead" in page.words


def test_a_slip_is_taken_out(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    reading = readings.log_reading(made.session, made.actor, tank.id, temperature_c=14)
    made.session.commit()
    page = visit.post(f"/readings/{reading.id}/remove", f"/tanks/{tank.id}/readings")
    assert "taken out" in page.words
    assert logged(made) == []


def test_older_readings_are_a_page_away(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    days = [moments.moment(made.actor, made.days_ago(n)) for n in range(70)]
    readings.log_readings(made.session, made.actor, [readings.Shown(tank.id, at, 24) for at in days])
    made.session.commit()
    assert "1 to 60 of 70" in visit.open(f"/tanks/{tank.id}/readings").words
    assert "61 to 70 of 70" in visit.open(f"/tanks/{tank.id}/readings?from=60").words


def test_a_reader_sees_temperatures_without_the_form(reading: Visitor, made: Made) -> None:
    tank = made.tank()
    readings.log_reading(made.session, made.actor, tank.id, temperature_c=24)
    made.session.commit()
    page = reading.open(f"/tanks/{tank.id}/readings")
    assert "24 °C" in page.words
    assert "Take out" not in page.words
    assert not any(f.get("name") == "temperature_c" for f in page.all("input"))

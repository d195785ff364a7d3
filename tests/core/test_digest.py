"""The morning's message, by its words."""

from dataclasses import replace
from datetime import date, timedelta

from app.core.digest import Opening, digest, plain_text, short_digest
from app.core.reminders import Facts, due
from app.core.windows import Window
from tests.core.reminders.test_rules import BATCH, DAM

TANKS = [(4, "Rack 2"), (3, "Rack 1")]
MONDAY = date(2026, 6, 22)
SEXED = replace(BATCH, sexed=True, last_measured=MONDAY)


def said(facts: Facts, openings: list[Opening]) -> str:
    made = digest("Cellar", facts.today, due(facts, {}), openings, TANKS)
    assert made is not None
    return plain_text(made, "https://fish.example/", "Stop: there")


def test_a_morning_reads_from_top_to_bottom() -> None:
    counted = replace(SEXED, last_counted=date(2026, 6, 15))
    facts = Facts(MONDAY, (DAM,), (counted, replace(counted, id=6, code="G-08-1")))
    later = Opening("batch:7", "ready", Window(date(2026, 6, 25), date(2026, 7, 9)), "B-1 comes to size")
    assert said(facts, [later]) == (
        "Cellar, Mon 22 June: 2 things to do at 2 tanks\n\n"
        "Rack 2\n- Count G-07-2 and G-08-1.\n\n"
        "Rack 1\n- Look at G-07: her window is open (until 28 June). "
        "Put off big water changes until she has dropped.\n- Still open: start brine shrimp for G-07.\n\n"
        "Opening this week\n- B-1 comes to size.\n\n"
        "Rounds: https://fish.example/\nStop: there"
    )


def test_nothing_due_is_no_message() -> None:
    openings = [Opening("fish:1", "carrying", Window(MONDAY, MONDAY), "soon")]
    assert digest("Cellar", MONDAY, [], openings, TANKS) is None


def test_what_is_due_is_not_said_again_among_the_windows_of_the_week() -> None:
    facts = Facts(date(2026, 6, 20), dams=(DAM,))
    same = Opening("fish:1", "carrying", DAM.window or Window(MONDAY, MONDAY), "G-07 may drop")
    other = replace(same, subject="fish:2", words="G-08 may drop")
    text = said(facts, [same, other])
    assert "G-07 may drop" not in text
    assert "- G-08 may drop." in text


def test_only_what_begins_within_a_week_is_told() -> None:
    facts = Facts(MONDAY, dams=(DAM,))
    begins = {
        day: Opening("x", "y", Window(day, day), f"at {day:%d}")
        for day in (MONDAY, date(2026, 6, 23), date(2026, 6, 29), date(2026, 6, 30))
    }
    text = said(facts, list(begins.values()))
    assert [f"at {day:%d}" in text for day in begins] == [False, True, True, False]


def test_what_stands_in_no_tank_comes_first() -> None:
    facts = Facts(MONDAY, dams=(replace(DAM, tank_id=None), replace(DAM, id=2, carrying_id=12)))
    made = digest("Cellar", MONDAY, due(facts, {}), [], TANKS)
    assert made is not None
    assert [stop.tank for stop in made.stops] == ["Elsewhere", "Rack 1"]


def test_what_can_wait_is_said_in_full_once_and_shortly_after_that() -> None:
    late = replace(SEXED, last_counted=date(2026, 6, 10))
    other = replace(late, id=6, code="G-08-1")
    facts = Facts(date(2026, 6, 23), (DAM,), (late, other))
    text = said(facts, [])
    assert "1 thing to do at 1 tank" in text
    assert "Rack 2\n- Still open: count G-07-2 and G-08-1.\n" in text


def test_what_can_wait_sends_no_message_of_its_own_but_on_mondays() -> None:
    late = replace(SEXED, last_counted=date(2026, 6, 12))
    days = [MONDAY + timedelta(days=ahead) for ahead in range(-3, 8)]
    made = {
        day: digest(
            "Cellar", day, due(Facts(day, batches=(replace(late, last_measured=day),)), {}), [], TANKS
        )
        for day in days
    }
    assert [day.day for day, message in made.items() if message] == [19, 22, 29]
    monday = made[MONDAY]
    assert monday is not None
    assert monday.title == "Cellar, Mon 22 June: what is left to do"


def test_a_dam_who_should_have_dropped_is_told_in_full_on_mondays_and_not_foretold() -> None:
    late = replace(DAM, overdue=True, p_carrying=0.3)
    opening = Opening("fish:1", "carrying", Window(date(2026, 6, 25), date(2026, 6, 30)), "G-07 may drop")
    monday = said(Facts(MONDAY, (late,)), [opening])
    assert "G-07 should have dropped by now" in monday
    assert "may drop" not in monday
    tuesday = Facts(date(2026, 6, 23), (late,), (replace(SEXED, last_counted=date(2026, 6, 16)),))
    assert "- Still open: say what became of G-07." in said(tuesday, [opening])


def test_a_morning_with_nothing_new_names_what_begins_next() -> None:
    begins = [
        Opening(
            "x", "y", Window(MONDAY + timedelta(days=ahead), MONDAY + timedelta(days=ahead)), f"in {ahead}"
        )
        for ahead in (9, 0, 12, 30)
    ]
    message = short_digest("Cellar", MONDAY, [], begins, 14)
    assert plain_text(message, "https://fish.example/", "Stop: there") == (
        "Cellar, Mon 22 June: nothing new to do\n\nNothing is due; next: in 9.\n\n"
        "Rounds: https://fish.example/\nStop: there"
    )


def test_a_short_message_says_what_is_still_open_and_that_nothing_begins() -> None:
    left = due(Facts(date(2026, 6, 23), batches=(replace(SEXED, last_counted=date(2026, 6, 10)),)), {})
    far = Opening("x", "y", Window(date(2026, 7, 8), date(2026, 7, 9)), "later")
    message = short_digest("Cellar", date(2026, 6, 23), left, [far], 14)
    assert message.short == "Nothing new is due; 1 thing still open; nothing begins in the next 14 days."

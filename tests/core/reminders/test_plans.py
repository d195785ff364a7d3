"""The rule about plans, by dates alone."""

from dataclasses import replace
from datetime import date, timedelta

from app.core.reminders import Facts, LackFact, Reminder, StepFact
from app.core.reminders.plans import look_due, plan_step_due, redose_due

TODAY = date(2026, 6, 15)
RAISE = StepFact(1, 7, "course", "Salt for SW2", "raise to", 3, TODAY, "raise salt to 1.5 g/L")


def asked(*steps: StepFact) -> list[Reminder]:
    facts = Facts(TODAY, steps=steps)
    return [*plan_step_due(facts), *look_due(facts)]


def on(step: StepFact, days: int, number: int, kind: str = "raise to") -> StepFact:
    return replace(step, id=number, due_on=TODAY + timedelta(days=days), step=kind)


def test_a_step_is_due_on_its_day_in_its_tank() -> None:
    (found,) = asked(RAISE)
    assert (found.key, found.rule, found.due, found.tank_id) == ("step:1", "plan_step_due", TODAY, 3)
    assert found.words == "Salt for SW2: raise salt to 1.5 g/L."
    assert (found.subject.kind, found.subject.id) == ("plan", 7)
    assert not found.urgent


def test_a_late_step_stays_due_and_holds_back_the_next_one() -> None:
    found = asked(on(RAISE, -2, 1), on(RAISE, 0, 2), on(RAISE, 3, 3))
    assert [(one.key, one.urgent) for one in found] == [("step:1", True), ("step:3", False)]


def test_of_daily_looks_that_were_missed_only_the_last_is_asked() -> None:
    looks = [on(RAISE, days, 10 + days, "look") for days in (-3, -2, -1, 1, 2)]
    assert [one.key for one in asked(*looks)] == ["step:9"]


def test_a_look_ahead_is_said_once_not_for_every_day() -> None:
    looks = [on(RAISE, days, days, "look") for days in (1, 2, 3)]
    assert [one.key for one in asked(*looks)] == ["step:1"]


def test_a_dose_goes_before_a_look() -> None:
    assert [one.key for one in asked(on(RAISE, 0, 1, "look"), on(RAISE, 0, 2, "dose"))] == ["step:2"]


def test_every_plan_has_a_step_of_its_own() -> None:
    assert len(asked(RAISE, replace(RAISE, id=2, plan_id=8))) == 2


def test_what_a_change_took_is_asked_for_once_an_occasion() -> None:
    lack = LackFact(7, "Salt in Q", 3, "202606151200", "The change took 43 g: add 43 g")
    (found,) = redose_due(Facts(TODAY, lacks=(lack,)))
    assert (found.key, found.rule, found.due) == ("redose:7:202606151200", "redose_due", TODAY)
    assert found.words == "Salt in Q: The change took 43 g: add 43 g."

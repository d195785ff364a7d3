"""Quarantine from the rounds: one tap a day, and the decision at its end."""

from datetime import timedelta

from app.services import fish
from app.store.fish import Sex
from app.store.plans import Plan, PlanStep, StepKind
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor


def came(made: Made) -> Plan:
    section = made.section(made.tank("Q", quarantine=True))
    line = made.line("guppy")
    told = fish.Arrival(
        Sex.FEMALE, made.actor.today, section.id, line_id=line.id, codes="A1", quarantine_days=10
    )
    fish.acquire(made.session, made.actor, told)
    made.session.commit()
    return rows(made.session, Plan)[0]


def test_a_daily_look_is_answered_in_one_tap(visit: Visitor, made: Made) -> None:
    came(made)
    page = visit.open("/")
    assert "look for clamped fins" in page.words
    (tap,) = [f.get("action") for f in page.all("form") if "/plans/steps/" in (f.get("action") or "")]
    assert tap is not None
    page = visit.post(tap, "/", next="/")
    assert "looked at" in page.words
    assert "All is well" not in page.words


def test_the_end_offers_to_move_on_to_wait_or_to_open_a_case(visit: Visitor, made: Made) -> None:
    plan = came(made)
    (end,) = rows(made.session, PlanStep, PlanStep.kind == StepKind.DECIDE)
    page = visit.open(f"/plans/steps/{end.id}")
    (head,) = page.all("h1")
    assert head.text == "The end of quarantine"
    assert "Move on, wait longer, or open a case." in page.words
    assert "Move on: all is well" in page.words
    assert "Open a case for A1" in page.words
    page = visit.post(f"/plans/{plan.id}/wait", f"/plans/steps/{end.id}", days="7")
    assert "7 days longer" in page.words
    made.session.expire_all()
    assert end.due_on == made.actor.today + timedelta(days=17)
    page = visit.post(f"/plans/{plan.id}/move-on", f"/plans/steps/{end.id}")
    assert "moved on" in page.words

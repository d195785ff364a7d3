"""A tuft on a fin: case, course, a change in the middle, recovery; then a tank made plain again."""

from datetime import timedelta

import pytest
from freezegun import freeze_time

from app.services import doses, substances, waters
from app.services.substances import NewSubstance
from app.services.waters import NewWater
from app.store.cases import Case
from app.store.plans import Plan, PlanKind, PlanStep
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import Dose, Measure, SubstanceKind, WaterChange
from tests.conftest import NOON
from tests.factories import Made
from tests.support.client import Page, Visitor


class Fishroom:
    """One tank of 48 litres with a swordtail dam, one of 90 with her young; days go by."""

    def __init__(self, visit: Visitor, made: Made) -> None:
        self.visit, self.made = visit, made
        line = made.line("swordtail", "Sorrel")
        self.home: Tank = made.tank("Rack 3", litres=48)
        self.nursery: Tank = made.tank("Grow-out", litres=90)
        self.dam = made.dam(line, made.section(self.home), code="SO4")
        made.batch(line, made.section(self.nursery), number=30, age_days=60)
        told = NewWater("Tap", 0.0, 8.0, 5.0, 7.4, 10.0, None, "")
        self.tap = waters.add_water(made.session, made.actor, told)
        made.session.commit()

    def day(self, days: int, path: str) -> Page:
        """Open a page some days later, in the afternoon."""
        with freeze_time(NOON + timedelta(days=days, hours=2)):
            return self.visit.open(path)

    def send(self, days: int, path: str, **fields: object) -> Page:
        """Fill and send the form of a page some days later."""
        with freeze_time(NOON + timedelta(days=days, hours=2)):
            return self.visit.send(path, **fields)

    def look_and_save(self, days: int, path: str, **fields: object) -> Page:
        """Look a plan over, and save what was looked over."""
        with freeze_time(NOON + timedelta(days=days, hours=2)):
            look = self.visit.send(path, **fields)
            assert "Nothing is saved yet" in look.words or "done on" in look.words, look.words
            return self.visit.post(path, path, looked=look.value("looked") or "", **fields)

    def date(self, days: int) -> str:
        """Return a day as a date field takes it."""
        return (NOON + timedelta(days=days)).date().isoformat()

    def steps(self, kind: PlanKind) -> list[PlanStep]:
        """Return the steps of the newest plan of a kind."""
        self.made.session.expire_all()
        plan = rows(self.made.session, Plan, Plan.kind == kind)[-1]
        return list(rows(self.made.session, PlanStep, PlanStep.plan_id == plan.id))


@pytest.fixture
def room(visit: Visitor, made: Made) -> Fishroom:
    """The two tanks, the dam, her young, and tap water."""
    return Fishroom(visit, made)


def test_a_tuft_is_treated_through_a_change_to_its_outcome(room: Fishroom) -> None:
    path = f"/cases/new?fish={room.dam.id}"
    page = room.send(0, path, signs=["cotton-like tufts"], opened_on=room.date(0), suspected="a bite")
    (case,) = rows(room.made.session, Case)
    assert "Plan a course" in page.words
    home = {"tank_id": str(room.home.id), "levels": "1.5, 3", "every_days": "1", "hold_days": "5"}
    room.look_and_save(0, f"/cases/{case.id}/course", start=room.date(0), **home)
    first, second, decide = room.steps(PlanKind.COURSE)

    assert "raise table salt to 1.5 g/L" in room.day(0, "/").words
    assert "Add 72 g of table salt to Rack 3" in room.day(0, f"/plans/steps/{first.id}").words
    room.send(0, f"/plans/steps/{first.id}", amount="72", on=room.date(0))
    room.send(1, f"/plans/steps/{second.id}", amount="72", on=room.date(1))
    assert "3 g/L" in room.day(1, f"/cases/{case.id}").words

    change = {"volume": "30 %", "source_id": str(room.tap.id)}
    room.send(3, f"/tanks/{room.home.id}/water/change", **change)
    said = "The 30 % change took 43 g of table salt: add 43 g to be back at 3 g/L"
    assert said in room.day(3, "/").words
    (plan,) = rows(room.made.session, Plan)
    with freeze_time(NOON + timedelta(days=3, hours=3)):
        room.visit.send(f"/plans/{plan.id}/put-back", amount="43.2", on=room.date(3))
    assert "took 43 g" not in room.day(4, "/").words
    given = [dose.amount for dose in rows(room.made.session, Dose)]
    assert given == pytest.approx([72.0, 72.0, 43.2])

    room.send(6, f"/plans/steps/{decide.id}", on=room.date(6), note="Clear water, clear fin")
    helped = "3 g/L of salt for five days"
    page = room.send(7, f"/cases/{case.id}/close", outcome="recovered", on=room.date(7), what_helped=helped)
    assert helped in page.words
    assert (
        helped in room.day(30, "/cases?sign=cotton-like+tufts&outcome=recovered&substance=table+salt").words
    )


def test_a_grow_out_tank_is_plain_again_on_the_day_the_ledger_said(room: Fishroom) -> None:
    session, actor = room.made.session, room.made.actor
    told = NewSubstance("sea salt", SubstanceKind.SALT, Measure.GRAM)
    salt = substances.add_substance(session, actor, told)
    doses.log_dose(session, actor, room.nursery.id, salt.id, amount=270.0)
    session.commit()

    path = f"/tanks/{room.nursery.id}/plain-water"
    assert "holds 3 g/L of salt" in room.day(1, path).words
    asked = {"fraction": "40 %", "every_days": "3", "source_id": str(room.tap.id), "target": "0.1"}
    page = room.look_and_save(1, path, start=room.date(1), **asked)
    assert "Grow-out back to plain water" in page.words
    steps = room.steps(PlanKind.DESALTING)
    assert [(step.due_on - steps[0].due_on).days for step in steps] == [0, 3, 6, 9, 12, 15, 18]
    for step in steps:
        after = (step.due_on - NOON.date()).days
        assert "change 40 % of the water" in room.day(after, "/").words
        room.send(after, f"/plans/steps/{step.id}", source_id=str(room.tap.id), on=room.date(after))
    assert "no salt to take out" not in room.day(20, path).words
    assert "holds 0.08 g/L of salt" in room.day(20, path).words
    assert [change.litres for change in rows(session, WaterChange)] == pytest.approx([36.0] * 7)
    assert "ended 4 July" in room.day(20, f"/plans/{steps[0].plan_id}").words

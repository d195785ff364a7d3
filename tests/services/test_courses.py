"""Courses: planned from what the tank holds, dosed exactly, put back after a change, and ramped down."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.core.water.ledger import Held
from app.core.water.salt_course import PLAIN_G_PER_L
from app.queries.course_look import course_look
from app.queries.courses import off_course, redose, salted_by
from app.queries.ledger import tank_ledger
from app.queries.plans import level_words, plans_shown
from app.queries.step_page import step_page
from app.services import cases, courses, plain_water, plan_steps, plans, water_changes
from app.services.cases import CaseTold, Ending, Subject
from app.services.courses import CourseTold
from app.services.journal import Entry
from app.services.plain_water import PlainTold
from app.services.plan_steps import Done
from app.services.refusals import Refused
from app.services.undo import undo
from app.services.water_changes import Pour
from app.store.actor import Actor
from app.store.cases import Ailing, Case, CaseOutcome
from app.store.plans import Plan, PlanKind, PlanStep, StepKind
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import Dose, Hazard, Measure, SourceWater, Substance, SubstanceKind
from tests.factories import Made


class Bench:
    """A tank of 48 litres with a case in it, salt, a medicine and tap water; days go by."""

    def __init__(self, made: Made) -> None:
        self.session, self.actor, self.made = made.session, made.actor, made
        self.tank: Tank = made.tank(litres=48.0)
        dam = made.dam(section=made.section(self.tank))
        told = CaseTold(self.actor.today)
        self.case: Case = cases.open_case(
            self.session, self.actor, Subject(fish_id=dam.id), told, [Ailing.TUFTS]
        )
        entry = Entry(self.session, self.actor, "made for a test")
        self.salt = entry.add(
            Substance(name="table salt", kind=SubstanceKind.SALT, measure=Measure.GRAM, hazard=Hazard.NONE)
        )
        self.medicine = entry.add(
            Substance(
                name="blue drops", kind=SubstanceKind.MEDICINE, measure=Measure.MILLILITRE, hazard=Hazard.DYE
            )
        )
        self.tap = entry.add(SourceWater(name="tap", salinity_g_per_l=0.0))

    def later(self, days: int) -> Actor:
        """Let days go by."""
        self.actor = replace(self.actor, now=self.actor.now + timedelta(days=days))
        return self.actor

    def plan(self, **more: object) -> Plan:
        """Plan a course of salt in two steps, unless told otherwise."""
        told: dict[str, object] = {
            "tank_id": self.tank.id,
            "substance_id": self.salt.id,
            "start": self.actor.today,
            "levels": (1.5, 3.0),
            **more,
        }
        return courses.plan_course(self.session, self.actor, self.case.id, CourseTold(**told))  # type: ignore[arg-type]

    def steps(self, plan: Plan) -> list[PlanStep]:
        """Return the steps of a plan by day."""
        return list(plans.steps_of(self.session, plan))

    def do(self, step: PlanStep, **more: object) -> PlanStep:
        """Do a step today."""
        done = Done(on=self.actor.today, **more)  # type: ignore[arg-type]
        return plan_steps.do_step(self.session, self.actor, step.id, done)

    def change(self, fraction: float) -> None:
        """Change water with the tap's."""
        water_changes.log_change(
            self.session, self.actor, self.tank.id, [Pour(self.tap.id)], fraction=fraction
        )

    @property
    def salt_now(self) -> float | None:
        """What the ledger says of the salt."""
        ledger = tank_ledger(self.session, self.actor, self.tank.id)
        return ledger.level(Held.SALT, self.actor.now)

    def take_back(self) -> None:
        """Take back what was done last."""
        undo(self.session, self.actor, self.session.info["act"].id)


@pytest.fixture
def bench(made: Made) -> Bench:
    """The tank, the case, the salt."""
    return Bench(made)


def at_strength(bench: Bench) -> Plan:
    """Return a course whose two doses are given."""
    plan = bench.plan()
    for _ in range(2):
        step = next(one for one in bench.steps(plan) if one.done_on is None)
        bench.do(step)
        bench.later(1)
    return plan


def test_a_salt_course_is_laid_out_by_level_with_a_decision_at_its_end(bench: Bench) -> None:
    steps = bench.steps(bench.plan(hold_days=6))
    assert [(step.kind, step.level) for step in steps] == [
        (StepKind.RAISE, 1.5),
        (StepKind.RAISE, 3.0),
        (StepKind.DECIDE, None),
    ]
    assert [(step.due_on - bench.actor.today).days for step in steps] == [0, 1, 7]


def test_a_labels_dose_is_laid_out_by_the_litre(bench: Bench) -> None:
    plan = bench.plan(substance_id=bench.medicine.id, levels=(), per_litre=0.05, times=3, every_days=2)
    assert [step.level for step in bench.steps(plan)] == [0.05, 0.05, 0.05, None]
    bench.do(bench.steps(plan)[0])
    assert rows(bench.session, Dose)[0].amount == pytest.approx(2.4)


def test_each_step_logs_exactly_what_is_missing_to_its_level(bench: Bench) -> None:
    at_strength(bench)
    assert [dose.amount for dose in rows(bench.session, Dose)] == pytest.approx([72.0, 72.0])
    assert bench.salt_now == pytest.approx(3.0)


def test_a_change_between_two_doses_is_made_good_by_the_second(bench: Bench) -> None:
    plan = bench.plan()
    first, second, _ = bench.steps(plan)
    bench.do(first)
    bench.later(1)
    bench.change(0.5)
    bench.do(second)
    assert rows(bench.session, Dose)[-1].amount == pytest.approx((3.0 - 0.75) * 48)


def test_what_a_change_took_is_put_back_to_the_gram(bench: Bench) -> None:
    plan = at_strength(bench)
    bench.change(0.3)
    ledger = tank_ledger(bench.session, bench.actor, bench.tank.id)
    (shown,) = plans_shown(bench.session, bench.actor, Plan.id == plan.id)
    lacks = redose(ledger, bench.salt, shown.steps, bench.actor.now)
    assert lacks is not None
    assert lacks.taken is not None
    assert (lacks.missing, lacks.taken.amount) == pytest.approx((43.2, 43.2))
    plan_steps.put_back(bench.session, bench.actor, plan.id, Done(bench.actor.today))
    assert bench.salt_now == pytest.approx(3.0)
    with pytest.raises(Refused, match="lacks nothing"):
        plan_steps.put_back(bench.session, bench.actor, plan.id, Done(bench.actor.today))


def test_salt_put_back_for_a_change_that_never_was_is_told_as_too_much(bench: Bench) -> None:
    plan = at_strength(bench)
    bench.change(0.25)
    changed = bench.session.info["act"].id
    plan_steps.put_back(bench.session, bench.actor, plan.id, Done(bench.actor.today))
    shown = plans_shown(bench.session, bench.actor, Plan.id == plan.id)
    assert off_course(bench.session, bench.actor, shown).over == ()
    undo(bench.session, bench.actor, changed)
    (words,) = off_course(bench.session, bench.actor, shown).over
    assert "holds 3.75 g/L, more than the 3 g/L of the course: a change of 20 %" in words
    assert salted_by(bench.session, bench.actor, shown)[0][2] == "3.75 g/L"


def test_a_medicine_is_put_back_by_what_the_change_took(bench: Bench) -> None:
    plan = bench.plan(substance_id=bench.medicine.id, levels=(), per_litre=0.05, times=1)
    bench.do(bench.steps(plan)[0])
    bench.later(1)
    bench.change(0.25)
    plan_steps.put_back(bench.session, bench.actor, plan.id, Done(bench.actor.today))
    assert rows(bench.session, Dose)[-1].amount == pytest.approx(0.6)


def test_the_look_over_of_a_fading_medicine_holds_what_its_doses_then_bring(bench: Bench) -> None:
    bench.medicine.half_life_days = 2.0
    plan = bench.plan(substance_id=bench.medicine.id, levels=(), per_litre=0.05, times=3, every_days=2)
    looked = course_look(bench.session, bench.actor, plan.id, ("fish", 0)).doses
    assert [(look.amount, look.level) for look in looked] == [
        ("2.4 mL", "5 mL per 100 L"),
        ("2.4 mL", "7.5 mL per 100 L"),
        ("2.4 mL", "8.8 mL per 100 L"),
    ]
    for step, look in zip(bench.steps(plan), looked, strict=False):
        bench.do(step)
        ledger = tank_ledger(bench.session, bench.actor, bench.tank.id)
        now = ledger.level(bench.medicine.id, bench.actor.now)
        assert level_words(now or 0.0, bench.medicine) == look.level
        bench.later(2)


def test_a_step_is_refused_what_a_dose_on_its_own_is_refused(bench: Bench) -> None:
    first = bench.steps(bench.plan())[0]
    with pytest.raises(Refused, match="more than the sea"):
        bench.do(first, amount=4800.0)
    bench.salt.retired_on = bench.actor.today
    with pytest.raises(Refused, match="was put away"):
        bench.do(first)
    bench.salt.retired_on = None
    bench.do(first)
    assert len(rows(bench.session, Dose)) == 1


def test_what_is_put_back_is_checked_like_a_dose(bench: Bench) -> None:
    plan = at_strength(bench)
    bench.change(0.3)
    with pytest.raises(Refused, match="more than the sea"):
        plan_steps.put_back(bench.session, bench.actor, plan.id, Done(bench.actor.today, amount=4800.0))
    bench.salt.retired_on = bench.actor.today
    with pytest.raises(Refused, match="was put away"):
        plan_steps.put_back(bench.session, bench.actor, plan.id, Done(bench.actor.today))


def test_what_was_really_added_counts_when_it_differs(bench: Bench) -> None:
    step = bench.steps(bench.plan())[0]
    bench.do(step, amount=70.0)
    assert step.dose_id == rows(bench.session, Dose)[0].id
    assert bench.salt_now == pytest.approx(70 / 48)


def test_a_step_taken_back_is_open_again_and_its_dose_gone(bench: Bench) -> None:
    step = bench.steps(bench.plan())[0]
    bench.do(step)
    bench.take_back()
    assert (step.done_on, step.dose_id) == (None, None)
    assert not rows(bench.session, Dose)


def test_a_course_begins_today_or_later(bench: Bench) -> None:
    with pytest.raises(Refused, match="is past"):
        bench.plan(start=bench.actor.today - timedelta(days=1))


def test_a_course_runs_once_in_a_tank(bench: Bench) -> None:
    bench.plan()
    with pytest.raises(Refused, match="runs already"):
        bench.plan()


def test_a_bath_is_no_course(bench: Bench) -> None:
    with pytest.raises(Refused, match="bath of hours"):
        bench.plan(levels=(12.0,))


def test_salt_needs_levels_and_a_medicine_its_labels_dose(bench: Bench) -> None:
    with pytest.raises(Refused, match="which level"):
        bench.plan(levels=())
    with pytest.raises(Refused, match="label of blue drops"):
        bench.plan(substance_id=bench.medicine.id)


def test_the_close_of_a_case_ends_its_course(bench: Bench) -> None:
    plan = at_strength(bench)
    ending = Ending(bench.actor.today, CaseOutcome.RECOVERED)
    cases.close_case(bench.session, bench.actor, bench.case.id, ending)
    assert (plan.ended_on, plan.outcome) == (bench.actor.today, "recovered")


def plain(bench: Bench, start: date, fraction: float = 0.4, **more: object) -> Plan:
    told = PlainTold(fraction, 2, bench.tap.id, start, **more)  # type: ignore[arg-type]
    return plain_water.plan_plain_water(bench.session, bench.actor, bench.tank.id, told)


def test_the_way_to_plain_water_has_the_days_the_ledger_predicts(bench: Bench) -> None:
    course = at_strength(bench)
    plan = plain(bench, bench.actor.today)
    steps = bench.steps(plan)
    assert len(steps) == 7
    assert [round(step.salinity_g_per_l or 0, 3) for step in steps[:3]] == [1.8, 1.08, 0.648]
    assert (steps[-1].due_on - steps[0].due_on).days == 12
    assert course.ended_on == bench.actor.today


def test_every_change_brings_what_was_predicted_and_the_last_ends_the_plan(bench: Bench) -> None:
    at_strength(bench)
    plan = plain(bench, bench.actor.today)
    for step in bench.steps(plan):
        bench.do(step)
        assert bench.salt_now == pytest.approx(step.salinity_g_per_l)
        bench.later(2)
    assert plan.ended_on is not None
    assert (bench.salt_now or 1) <= PLAIN_G_PER_L


def test_a_step_back_to_plain_water_says_what_it_truly_leaves(bench: Bench) -> None:
    """3 g/L halved is 1.5; halved once more outside the plan 0.75; the next step leaves 0.375."""
    at_strength(bench)
    first, second, *_ = bench.steps(plain(bench, bench.actor.today, 0.5))
    bench.do(first)
    bench.change(0.5)
    page = step_page(bench.session, bench.actor, second.id)
    assert (page.words, page.then) == ("Change 50 % of the water: 24 L", "0.38 g/L")
    assert any("thought of 0.75 g/L" in words for words in page.more)


def test_plain_water_needs_no_way_back(bench: Bench) -> None:
    with pytest.raises(Refused, match="plain water already"):
        plain(bench, bench.actor.today)


def test_water_whose_salt_was_never_told_is_refused_by_name(bench: Bench) -> None:
    at_strength(bench)
    bench.tap.salinity_g_per_l = None
    with pytest.raises(Refused, match="How salty tap is"):
        plain(bench, bench.actor.today)


def test_a_drop_at_a_time_never_arrives(bench: Bench) -> None:
    at_strength(bench)
    with pytest.raises(Refused, match="Change more at a time"):
        plain(bench, bench.actor.today, 0.01)


def test_a_tank_is_brought_to_plain_water_without_a_case(bench: Bench) -> None:
    at_strength(bench)
    plan = plain(bench, bench.actor.today)
    assert (plan.kind, plan.case_id) == (PlanKind.DESALTING, None)
    assert bench.session.info["act"].subject == f"plan:{plan.id}"

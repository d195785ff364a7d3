"""The rules about plans: the next step of each is due on its day, and stays due until it is done."""

from collections.abc import Iterator
from itertools import groupby

from app.core.reminders.facts import Facts, Reminder, StepFact, Subject

LOOK = "look"
STAGES = {"course": "case", "acclimation": "quarantine", "quarantine": "quarantine"}


def stage_of(step: StepFact) -> str:
    """Return the stage that a step's plan is shown in."""
    return STAGES.get(step.plan, "waiting")


def plan_step_due(facts: Facts) -> Iterator[Reminder]:
    """Ask for one step of a plan at a time."""
    return (_reminder(step, facts) for step in _open(facts) if step.step != LOOK)


def look_due(facts: Facts) -> Iterator[Reminder]:
    """Ask for the daily look of a plan; of looks that were missed only the last counts."""
    return (_reminder(step, facts) for step in _open(facts) if step.step == LOOK)


def _open(facts: Facts) -> Iterator[StepFact]:
    steps = sorted(facts.steps, key=lambda step: (step.plan_id, step.due_on, step.id))
    for _, own in groupby(steps, key=lambda step: step.plan_id):
        yield from _asked(list(own), facts)


def _asked(steps: list[StepFact], facts: Facts) -> Iterator[StepFact]:
    """Return the one step that is due, and those ahead."""
    due = [step for step in steps if step.due_on <= facts.today]
    acts = [step for step in due if step.step != LOOK]
    yield from acts[:1] or due[-1:]
    ahead = [step for step in steps if step.due_on > facts.today]
    yield from (step for step in ahead if step.step != LOOK)
    if not due:
        yield from [step for step in ahead if step.step == LOOK][:1]


def _reminder(step: StepFact, facts: Facts) -> Reminder:
    return Reminder(
        f"step:{step.id}",
        "look_due" if step.step == LOOK else "plan_step_due",
        Subject("plan", step.plan_id, step.title),
        step.tank_id,
        step.due_on,
        None,
        f"{step.title}: {step.words}.",
        stage_of(step),
        urgent=step.due_on < facts.today and step.step != LOOK,
    )


def redose_due(facts: Facts) -> Iterator[Reminder]:
    """Ask to put back what changes took of a course, until it is put back or answered."""
    for lack in facts.lacks:
        yield Reminder(
            f"redose:{lack.plan_id}:{lack.mark}",
            "redose_due",
            Subject("plan", lack.plan_id, lack.title),
            lack.tank_id,
            facts.today,
            None,
            f"{lack.title}: {lack.words}.",
            "case",
        )

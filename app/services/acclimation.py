"""Acclimation: dated steps from the water fish came in to the water they are to live in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.core.water.acclimation import Limits, WaterState, plan
from app.core.water.acclimation_changes import by_changes
from app.core.water.ledger import Held
from app.core.water.levels import show_held
from app.core.wording import day_words, listed, many
from app.queries.ledger import tank_ledger
from app.services.journal import Entry
from app.services.plans import Step, lay_out
from app.services.refusals import Refused
from app.services.stays import still_here
from app.store.actor import Actor
from app.store.fish import Fish
from app.store.plans import Plan, PlanFish, PlanKind, StepKind
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section
from app.store.waters import SourceWater

USUAL = Limits()


@dataclass(frozen=True, slots=True)
class AcclimationTold:
    """Who, from which water to which, how fast.

    Without a source the fish wait in a box of their own, whose water is replaced with the tank's;
    with one the tank they stand in is changed with that water. ``assumed`` says what was not tested.
    """

    fish_ids: tuple[int, ...]
    origin: WaterState
    goal: WaterState
    start: date
    source_id: int | None = None
    limits: Limits = USUAL
    assumed: str = ""


def plan_acclimation(session: Session, actor: Actor, told: AcclimationTold) -> Plan:
    """Lay out the steps; nothing is poured yet."""
    actor.must_log()
    fish = [find(session, Fish, number) for number in told.fish_ids]
    if not fish:
        raise Refused("Choose the fish.", "fish_ids")
    tank_id = _tank(session, fish)
    _free(session, fish)
    if told.start < actor.today:
        raise Refused(f"{day_words(told.start, actor.today)} is past. Give today or later.", "start")
    if told.source_id is not None:
        _check_tank(session, actor, tank_id, told)
    steps = _steps(session, told)
    if not steps:
        raise Refused(
            "In what is known the two waters are alike: no steps are needed. Float the bag, then let go.",
            "salinity_g_per_l",
        )
    entry = Entry(session, actor, "plan acclimation")
    made = lay_out(
        entry,
        Plan(
            kind=PlanKind.ACCLIMATION,
            tank_id=tank_id,
            source_id=told.source_id,
            title=f"Acclimation of {listed([one.code for one in fish])}",
            started_on=told.start,
            note=told.assumed,
        ),
        steps,
        told.fish_ids,
    )
    last = day_words(steps[-1].due_on, actor.today)
    entry.tell(f"fish:{fish[0].id}", f"{made.title}: {many(len(steps), 'step')} planned, done on {last}")
    return made


def _tank(session: Session, fish: Sequence[Fish]) -> int:
    """Return the one tank they stand in."""
    for one in fish:
        still_here(one)
    stays = rows(session, Stay, Stay.fish_id.in_([one.id for one in fish]), Stay.to_on.is_(None))
    tanks = {find(session, Section, stay.section_id).tank_id for stay in stays}
    if len(tanks) != 1:
        raise Refused("They do not stand in one tank. Plan for those of one tank at a time.", "fish_ids")
    return tanks.pop()


def _check_tank(session: Session, actor: Actor, tank_id: int, told: AcclimationTold) -> None:
    """Refuse to change a tank step by step whose water is not what the fish come from."""
    ledger, theirs = tank_ledger(session, actor, tank_id), told.origin.salinity_g_per_l
    salt = ledger.level(Held.SALT, actor.now)
    if salt is None or theirs is None or abs(salt - theirs) <= told.limits.salinity_g_per_l:
        return
    raise Refused(
        f"By its ledger {ledger.name} holds {show_held(Held.SALT, salt)}, and they come from "
        f"{show_held(Held.SALT, theirs)}: there they would meet all of it at once. Let them wait in a box of "
        "their own, salt the tank first, or log what is missing.",
        "source_id",
    )


def _free(session: Session, fish: Sequence[Fish]) -> None:
    """Refuse fish that are being acclimated already."""
    members = rows(session, PlanFish, PlanFish.fish_id.in_([one.id for one in fish]))
    running = rows(
        session,
        Plan,
        Plan.id.in_({each.plan_id for each in members}),
        Plan.kind == PlanKind.ACCLIMATION,
        Plan.ended_on.is_(None),
    )
    if running:
        raise Refused(f"{running[0].title} runs already. End it first.", "fish_ids")


def _steps(session: Session, told: AcclimationTold) -> list[Step]:
    if told.source_id is None:
        return [
            _step(one.day, one.share, one.water)
            for one in plan(told.origin, told.goal, told.limits, told.start)
        ]
    water = find(session, SourceWater, told.source_id)
    source = WaterState(water.salinity_g_per_l, water.gh_dh)
    return [
        _step(one.day, one.share, one.water)
        for one in by_changes(told.origin, source, told.limits, told.start)
    ]


def _step(day: date, share: float, water: WaterState) -> Step:
    return Step(
        day,
        StepKind.CHANGE,
        fraction=share,
        salinity_g_per_l=water.salinity_g_per_l,
        gh_dh=water.gh_dh,
        temperature_c=water.temperature_c,
    )

"""The morning's facts for the reminder rules, read once and shared by rounds, almanac and calendar."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, literal, select, union_all
from sqlalchemy.orm import Session

from app.core.births import LastDrop
from app.core.reminders import BatchFact, DamFact, Facts, FishFact, Given, LackFact, Leads, hatches
from app.queries.care import Stand, care_facts, stands
from app.queries.courses import lacks
from app.queries.loggers import silent_loggers
from app.queries.messages import lost_messages
from app.queries.outlook import BatchOutlook, BirthOutlook, batch_outlooks, birth_outlooks
from app.queries.planning import ProjectPlan
from app.queries.plans import open_steps
from app.queries.project_facts import project_facts
from app.queries.wants import who_waits
from app.store.actor import Actor
from app.store.batches import BatchSex, Count, LengthCheck
from app.store.fish import Fish
from app.store.plans import Plan, PlanFish, PlanKind
from app.store.reminders import Answer, AnswerKind, LeadTime, Muted


@dataclass(frozen=True, slots=True)
class Morning:
    """Today's outlooks, where everyone stands, what is planned for projects, the facts, the answers."""

    births: dict[int, BirthOutlook]
    batches: dict[int, BatchOutlook]
    fish_tanks: dict[int, int]
    batch_tanks: dict[int, int]
    planned: tuple[ProjectPlan, ...]
    facts: Facts
    answers: dict[str, Given]


def morning(session: Session, actor: Actor) -> Morning:
    """Read and reckon everything the rules need, in a fixed number of statements."""
    births, batches = birth_outlooks(session, actor), batch_outlooks(session, actor)
    standing = stands(session, actor)
    fish_tanks, batch_tanks = _tanks(standing)
    care = care_facts(session, actor, standing, batches)
    given, hatching = answers(session, actor)
    projects, planned = project_facts(session, actor, births, batches)
    facts = Facts(
        actor.today,
        tuple(_dam(outlook, fish_tanks) for outlook in births.values()),
        _batches(session, actor, batches, batch_tanks),
        _quarantined(session, actor, fish_tanks),
        open_steps(session, actor),
        _lacks(session, actor),
        lost=lost_messages(session, actor),
        silent_loggers=silent_loggers(session, actor),
        projects=projects,
        fry=care.fry,
        rooms=care.rooms,
        strays=care.strays,
        leads=_leads(session, actor),
        muted=_muted(session, actor),
        hatching=hatching,
        box_days=care.box_days,
    )
    return Morning(births, batches, fish_tanks, batch_tanks, planned, facts, given)


def answers(session: Session, actor: Actor) -> tuple[dict[str, Given], date | None]:
    """Return what was answered, by the reminder's key, and the day of the last hatch if hatches run."""
    statement = (
        select(Answer.key, Answer.kind, Answer.until_on, Answer.answered_at)
        .where(Answer.fishroom_id == actor.fishroom_id)
        .order_by(Answer.answered_at, Answer.id)
    )
    given, hatching = {}, None
    for key, kind, until, answered_at in session.execute(statement):
        given[key] = Given(until if kind is AnswerKind.LATER else None)
        if key.startswith(hatches.KEY):
            hatching = actor.day(answered_at) if kind is AnswerKind.DONE else None
    return given, hatching


def _leads(session: Session, actor: Actor) -> Leads:
    statement = select(LeadTime.rule, LeadTime.line_id, LeadTime.days).where(
        LeadTime.fishroom_id == actor.fishroom_id
    )
    return Leads({(rule, line_id): days for rule, line_id, days in session.execute(statement)})


def _muted(session: Session, actor: Actor) -> frozenset[tuple[str, str]]:
    statement = select(Muted.rule, Muted.subject).where(Muted.fishroom_id == actor.fishroom_id)
    return frozenset((rule, subject) for rule, subject in session.execute(statement))


def _tanks(found: Sequence[Stand]) -> tuple[dict[int, int], dict[int, int]]:
    fish = {stand.fish.id: stand.tank_id for stand in found if stand.fish is not None}
    return fish, {stand.batch_id: stand.tank_id for stand in found if stand.batch_id is not None}


def _dam(outlook: BirthOutlook, tanks: dict[int, int]) -> DamFact:
    said, dam, told = outlook.forecast, outlook.case.dam, outlook.case.evidence
    return DamFact(
        dam.id,
        dam.code,
        tanks.get(dam.id),
        outlook.carrying_id,
        said.p_carrying,
        said.window_80,
        said.window_95.end if said.window_95 else None,
        said.overdue,
        dam.line_id,
        isinstance(told.start, LastDrop)
        and told.males_until is not None
        and told.males_until <= told.start.earliest,
    )


def _batches(
    session: Session, actor: Actor, outlooks: dict[int, BatchOutlook], tanks: dict[int, int]
) -> tuple[BatchFact, ...]:
    waiting, promised = who_waits(session, outlooks) if actor.may_log else ({}, {})
    counted, measured = _latest(session, actor, outlooks)
    return tuple(
        BatchFact(
            outlook.batch_id,
            outlook.case.batch.code,
            tanks.get(outlook.batch_id),
            outlook.ledger.alive,
            outlook.case.born,
            outlook.case.batch.sex is not BatchSex.MIXED,
            counted.get(outlook.batch_id, _known_since(outlook)),
            measured.get(outlook.batch_id, measured.get(outlook.case.batch.parent_id or 0)),
            outlook.sexing.opens,
            outlook.sexing.comfortable,
            outlook.sexing.split_by,
            outlook.ready.window_80,
            outlook.case.batch.line_id,
            tuple(waiting.get(outlook.batch_id, ())),
            promised.get(outlook.batch_id, 0),
        )
        for outlook in outlooks.values()
    )


def _known_since(outlook: BatchOutlook) -> date | None:
    """Return when a batch was begun, where that was after it was born: somebody counted it then."""
    begun = outlook.case.batch.started_on
    return begun if begun > outlook.case.born else None


def _latest(
    session: Session, actor: Actor, outlooks: dict[int, BatchOutlook]
) -> tuple[dict[int, date], dict[int, date]]:
    """Return the days on which each batch, or the one it was split from, was last counted and measured."""
    asked = {id_ for one in outlooks.values() for id_ in (one.batch_id, one.case.batch.parent_id) if id_}
    found: dict[str, dict[int, date]] = {"counted": {}, "measured": {}}
    statement = union_all(
        *(
            select(literal(word), of.batch_id, func.max(day))
            .where(of.fishroom_id == actor.fishroom_id, of.batch_id.in_(asked))
            .group_by(of.batch_id)
            for word, of, day in (
                ("counted", Count, Count.counted_on),
                ("measured", LengthCheck, LengthCheck.checked_on),
            )
        )
    )
    for word, batch_id, last in session.execute(statement):
        found[word][batch_id] = last
    return found["counted"], found["measured"]


def _lacks(session: Session, actor: Actor) -> tuple[LackFact, ...]:
    return tuple(
        LackFact(one.plan_id, one.title, one.tank_id, f"{one.at:%Y%m%d%H%M}" if one.at else "", one.words)
        for one in lacks(session, actor)
    )


def _quarantined(session: Session, actor: Actor, tanks: dict[int, int]) -> tuple[FishFact, ...]:
    plan = (
        select(PlanFish.id)
        .join(Plan, Plan.id == PlanFish.plan_id)
        .where(PlanFish.fish_id == Fish.id, Plan.kind == PlanKind.QUARANTINE)
    )
    statement = (
        select(Fish, plan.exists())
        .where(
            Fish.fishroom_id == actor.fishroom_id, Fish.left_on.is_(None), Fish.quarantine_until.is_not(None)
        )
        .order_by(Fish.code)
    )
    return tuple(
        FishFact(fish.id, fish.code, tanks.get(fish.id), fish.quarantine_until, fish.line_id, planned=planned)
        for fish, planned in session.execute(statement)
        if fish.quarantine_until is not None
    )

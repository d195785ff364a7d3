"""The morning's message of one fishroom, from the same reminders and windows as rounds and almanac."""

from sqlalchemy.orm import Session

from app.core.digest import EMPTY_MORNING, WEEK_DAYS, Digest, Opening, digest, short_digest
from app.core.reminders import due
from app.queries.almanac import entries
from app.queries.facts import Morning, morning
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.session import rows
from app.store.tanks import Tank


def morning_digest(session: Session, actor: Actor) -> Digest | None:
    """Return what there is to say this morning; nothing where nothing is due, unless that is asked for."""
    today = morning(session, actor)
    tanks = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    name = session.get_one(Fishroom, actor.fishroom_id).name
    things = due(today.facts, today.answers)
    found = digest(
        name,
        actor.today,
        things,
        _openings(today, actor, WEEK_DAYS),
        [(tank.id, tank.name) for tank in tanks],
    )
    days = today.facts.leads.days(EMPTY_MORNING, None, 0)
    if found is not None or not days:
        return found
    return short_digest(name, actor.today, things, _openings(today, actor, days), days)


def _openings(today: Morning, actor: Actor, days: int) -> list[Opening]:
    return [
        Opening(one.subject.key, one.stage, one.window, one.words)
        for one in entries(today, actor.today, days)
    ]

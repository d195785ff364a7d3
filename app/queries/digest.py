"""The morning's message of one fishroom, from the same reminders and windows as rounds and almanac."""

from sqlalchemy.orm import Session

from app.core.digest import WEEK_DAYS, Digest, Opening, digest
from app.core.reminders import due
from app.queries.almanac import entries
from app.queries.facts import morning
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.session import rows
from app.store.tanks import Tank


def morning_digest(session: Session, actor: Actor) -> Digest | None:
    """Return what there is to say this morning; nothing where nothing is due."""
    today = morning(session, actor)
    tanks = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    return digest(
        session.get_one(Fishroom, actor.fishroom_id).name,
        actor.today,
        due(today.facts, today.answers),
        [
            Opening(one.subject.key, one.stage, one.window, one.words)
            for one in entries(today, actor.today, WEEK_DAYS)
        ],
        [(tank.id, tank.name) for tank in tanks],
    )

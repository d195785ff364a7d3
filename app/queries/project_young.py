"""Which batches came of which project: those of the broods of its pairings."""

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.pairings import Pairing


def young_of(session: Session, actor: Actor, project_ids: Sequence[int]) -> dict[int, list[int]]:
    """Return the batches of each project that has any, the first born first."""
    statement = (
        select(Pairing.project_id, Batch.id)
        .join(Brood, Brood.pairing_id == Pairing.id)
        .join(Batch, Batch.brood_id == Brood.id)
        .where(Pairing.fishroom_id == actor.fishroom_id, Pairing.project_id.in_(project_ids))
        .order_by(Batch.born_from, Batch.id)
    )
    found: dict[int, list[int]] = {}
    for project_id, batch_id in session.execute(statement):
        found.setdefault(project_id or 0, []).append(batch_id)
    return found

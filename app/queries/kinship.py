"""The fishroom's pedigree: every fish with the parents it is known by."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.lineage.pedigree import Animal
from app.core.lineage.relations import Relations, relations
from app.store.actor import Actor
from app.store.fish import Fish, Sex


def kin(session: Session, actor: Actor) -> Relations:
    """Return who is related to whom; animals go by their row's number as text."""
    statement = select(Fish.id, Fish.sire_id, Fish.dam_id, Fish.sex).where(
        Fish.fishroom_id == actor.fishroom_id
    )
    return relations(
        Animal(
            str(fish_id),
            None if sire_id is None else str(sire_id),
            None if dam_id is None else str(dam_id),
            None if sex is Sex.UNKNOWN else sex.value,
        )
        for fish_id, sire_id, dam_id, sex in session.execute(statement)
    )

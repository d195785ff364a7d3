"""Which dams stood with males they can cross with, from where fish actually stood."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import or_, select
from sqlalchemy.orm import Session, aliased

from app.core.crossing import can_cross, mature
from app.core.species import SPECIES
from app.store.batches import Batch, BatchSex
from app.store.fish import Fish, Sex
from app.store.lines import Line
from app.store.stays import Stay


@dataclass(frozen=True, slots=True)
class Contact:
    """A spell in which a dam shared a section with one mature male (or a batch that holds some)."""

    dam_id: int
    start: date
    end: date | None
    sire_id: int | None
    batch_id: int | None


def contacts(
    session: Session, fishroom_id: int, today: date, dam_ids: list[int] | None = None
) -> dict[int, list[Contact]]:
    """Return every contact of the dams (all females unless said), oldest first."""
    hers, his = aliased(Stay), aliased(Stay)
    dam, sire, her_line = aliased(Fish), aliased(Fish), aliased(Line)
    statement = (
        select(hers.from_on, hers.to_on, his.from_on, his.to_on, dam.id, her_line.species, sire, Batch)
        .select_from(hers)
        .join(dam, dam.id == hers.fish_id)
        .join(her_line, her_line.id == dam.line_id)
        .join(
            his,
            (his.section_id == hers.section_id)
            & (his.id != hers.id)
            & or_(his.to_on.is_(None), his.to_on >= hers.from_on)
            & or_(hers.to_on.is_(None), hers.to_on >= his.from_on),
        )
        .outerjoin(sire, (sire.id == his.fish_id) & (sire.sex == Sex.MALE))
        .outerjoin(Batch, (Batch.id == his.batch_id) & (Batch.sex != BatchSex.FEMALES))
        .where(
            hers.fishroom_id == fishroom_id,
            dam.sex == Sex.FEMALE,
            or_(sire.id.is_not(None), Batch.id.is_not(None)),
        )
    )
    if dam_ids is not None:
        statement = statement.where(dam.id.in_(dam_ids))
    lines = {
        line.id: line.species for line in session.scalars(select(Line).where(Line.fishroom_id == fishroom_id))
    }
    found: dict[int, list[Contact]] = {}
    for her_from, her_to, his_from, his_to, dam_id, species, male, batch in session.execute(statement):
        contact = _contact(dam_id, (her_from, her_to), (his_from, his_to), male, batch)
        his_species = lines[male.line_id if male is not None else batch.line_id]
        born = male.born_on if male is not None else batch.born_from
        last = contact.end or today
        if can_cross(species, his_species) and mature(SPECIES[his_species], born, last):
            found.setdefault(dam_id, []).append(contact)
    for each in found.values():
        each.sort(key=lambda contact: contact.start)
    return found


def _contact(
    dam_id: int,
    hers: tuple[date, date | None],
    his: tuple[date, date | None],
    male: Fish | None,
    batch: Batch | None,
) -> Contact:
    ends = [end for end in (hers[1], his[1]) if end is not None]
    return Contact(
        dam_id,
        max(hers[0], his[0]),
        min(ends) if ends else None,
        male.id if male is not None else None,
        batch.id if batch is not None else None,
    )

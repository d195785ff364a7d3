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

HERS, HIS = aliased(Stay), aliased(Stay)
DAM, SIRE, HER_LINE = aliased(Fish), aliased(Fish), aliased(Line)
MEETINGS = (
    select(HERS.from_on, HERS.to_on, HIS.from_on, HIS.to_on, DAM.id, HER_LINE.species, SIRE, Batch)
    .select_from(HERS)
    .join(DAM, DAM.id == HERS.fish_id)
    .join(HER_LINE, HER_LINE.id == DAM.line_id)
    .join(
        HIS,
        (HIS.section_id == HERS.section_id)
        & (HIS.id != HERS.id)
        & or_(HIS.to_on.is_(None), HIS.to_on >= HERS.from_on)
        & or_(HERS.to_on.is_(None), HERS.to_on >= HIS.from_on),
    )
    .outerjoin(SIRE, (SIRE.id == HIS.fish_id) & (SIRE.sex == Sex.MALE))
    .outerjoin(Batch, (Batch.id == HIS.batch_id) & (Batch.sex != BatchSex.FEMALES))
    .where(DAM.sex == Sex.FEMALE, or_(SIRE.id.is_not(None), Batch.id.is_not(None)))
)
"""Every time a female stood in one section with a male, or with a batch that may hold some."""


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
    statement = MEETINGS.where(HERS.fishroom_id == fishroom_id)
    if dam_ids is not None:
        statement = statement.where(DAM.id.in_(dam_ids))
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

"""What is known of each batch that grows."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.growth import LengthCheck as Check
from app.core.growth import Sex, total_from_standard
from app.core.species import Species
from app.core.thermal import TemperatureLog
from app.queries.evidence.lines import lines_by_id, species_of
from app.queries.evidence.thermometers import spells_of_batches, thermometers
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex, LengthCheck, LengthKind
from app.store.lines import Line
from app.store.session import rows

SEXES: dict[BatchSex, Sex | None] = {
    BatchSex.MIXED: None,
    BatchSex.FEMALES: "female",
    BatchSex.MALES: "male",
}


KIN_BACK = timedelta(days=365)
MOST_KIN = 5
"""Earlier broods of the line that count: born in the last year, the newest five with two checks or more."""


@dataclass(frozen=True, slots=True)
class GrowthCase:
    """One batch and what its growth, sexing and readiness rest on."""

    batch: Batch
    line: Line
    species: Species
    born: date
    born_uncertainty_days: float
    sex: Sex | None
    temperature: TemperatureLog
    checks: tuple[Check, ...]
    kin: tuple["GrowthCase", ...] = ()
    sale_length_mm: float | None = None


def growth_cases(session: Session, actor: Actor, batch_ids: Sequence[int] | None = None) -> list[GrowthCase]:
    """Return the open batches (or those asked for), in a fixed number of statements."""
    wanted = Batch.closed_on.is_(None) if batch_ids is None else Batch.id.in_(batch_ids)
    batches = rows(session, Batch, wanted, order=(Batch.born_from, Batch.id))
    if not batches:
        return []
    kin = _kin_of(session, actor, {batch.line_id for batch in batches})
    cases = _cases(session, actor, {batch.id: batch for batch in [*batches, *kin]})
    alike: dict[tuple[int, Sex | None], list[GrowthCase]] = defaultdict(list)
    for case in cases.values():
        alike[case.line.id, case.sex].append(case)
    mine = [cases[batch.id] for batch in batches]
    return [replace(case, kin=_kin(case, alike[case.line.id, case.sex])) for case in mine]


def _kin_of(session: Session, actor: Actor, line_ids: set[int]) -> Sequence[Batch]:
    """Return the measured batches of these lines that were born in the last year."""
    measured = select(LengthCheck.batch_id).where(LengthCheck.fishroom_id == actor.fishroom_id)
    return rows(
        session,
        Batch,
        Batch.line_id.in_(line_ids),
        Batch.born_from >= actor.today - KIN_BACK,
        Batch.id.in_(measured),
    )


def _cases(session: Session, actor: Actor, batches: dict[int, Batch]) -> dict[int, GrowthCase]:
    room, ids = actor.fishroom_id, list(batches)
    lines = lines_by_id(session, room)
    warm = thermometers(session, actor, min(batch.born_from for batch in batches.values()))
    spells = spells_of_batches(session, room, ids)
    checks = _inherited(session, room, batches, _checks(session, room, ids))
    return {
        batch.id: GrowthCase(
            batch,
            lines[batch.line_id],
            species_of(lines[batch.line_id]),
            _middle(batch),
            (batch.born_to - batch.born_from).days / 2,
            SEXES[batch.sex],
            warm.log(spells.get(batch.id, []), batch.born_from),
            tuple(checks.get(batch.id, ())),
        )
        for batch in batches.values()
    }


def _kin(case: GrowthCase, others: Iterable[GrowthCase]) -> tuple[GrowthCase, ...]:
    """Return the newest of the line's ``others`` of the same sexes that were measured often enough."""
    kin = [
        other
        for other in others
        if other.batch.brood_id != case.batch.brood_id and other.born < case.born and len(other.checks) > 1
    ]
    return tuple(sorted(kin, key=lambda other: (other.born, other.batch.id))[-MOST_KIN:])


def _middle(batch: Batch) -> date:
    return batch.born_from + timedelta(days=(batch.born_to - batch.born_from).days // 2)


def _checks(session: Session, room: int, ids: list[int]) -> dict[int, list[Check]]:
    statement = (
        select(LengthCheck)
        .where(LengthCheck.fishroom_id == room, LengthCheck.batch_id.in_(ids))
        .order_by(LengthCheck.checked_on, LengthCheck.id)
    )
    found: dict[int, list[Check]] = defaultdict(list)
    for row in session.scalars(statement):
        found[row.batch_id].append(_check(row))
    return found


def _inherited(
    session: Session, room: int, batches: dict[int, Batch], own: dict[int, list[Check]]
) -> dict[int, list[Check]]:
    """Put what was measured of a batch before it was split in front of each part's own checks."""
    parents = {batch.id: batch.parent_id for batch in batches.values() if batch.parent_id is not None}
    if not parents:
        return own
    before = _checks(session, room, list(set(parents.values())))
    return own | {
        child: [
            *(c for c in before.get(parent, ()) if c.day < batches[child].started_on),
            *own.get(child, ()),
        ]
        for child, parent in parents.items()
    }


def _check(row: LengthCheck) -> Check:
    """Return a length check in total length, whichever was measured."""
    factor = total_from_standard(1.0) if row.kind is LengthKind.STANDARD else 1.0
    if row.lengths_mm:
        return Check(row.checked_on, tuple(value * factor for value in row.lengths_mm))
    return Check(
        row.checked_on,
        n=row.n,
        mean_mm=row.mean_mm * factor,
        sd_mm=None if row.sd_mm is None or row.n == 1 else row.sd_mm * factor,
    )

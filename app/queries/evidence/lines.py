"""Lines as the models know them: the species' numbers with the keeper's own put over them."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.species import Overrides, Species, overridden, species
from app.store.lines import Line


def species_of(line: Line) -> Species:
    """Return the species of a line as this keeper knows it."""
    return overridden(
        species(line.species),
        Overrides(
            interval_days=line.interval_days,
            sale_length_mm=line.sale_length_mm,
            sexable_age_days=line.sexable_age_days,
        ),
    )


def lines_by_id(session: Session, room: int) -> dict[int, Line]:
    """Return every line of the fishroom."""
    return {line.id: line for line in session.scalars(select(Line).where(Line.fishroom_id == room))}

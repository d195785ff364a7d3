"""Every table, brought in once so that the metadata is whole."""

from app.store import (  # noqa: F401 - each brings its tables
    batches,
    broods,
    carryings,
    cases,
    channels,
    fish,
    fishrooms,
    forecasts,
    journal,
    lines,
    pairings,
    plans,
    projects,
    readings,
    rehomings,
    reminders,
    signs,
    stays,
    tanks,
    users,
    wants,
    waters,
)
from app.store.base import Base

METADATA = Base.metadata
BY_NAME: dict[str, type[Base]] = {
    str(mapper.local_table.name): mapper.class_  # type: ignore[attr-defined]
    for mapper in Base.registry.mappers
}

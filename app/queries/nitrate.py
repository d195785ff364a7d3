"""When a tank's nitrate reaches a ceiling, from what was fed, tested and changed."""

from dataclasses import dataclass
from datetime import date, timedelta

from app.core.water.ledger import Changed, Held, Measured
from app.core.water.nitrate import CEILING_MG_PER_L, Change, Outlook, Reading, from_feed, outlook
from app.queries.ledger import Recent, TankLedger
from app.store.actor import Actor

LOOK_BACK_DAYS = 90
"""So far back tests count: fish grow, and with them what they make (judgement)."""
PROTEIN = 0.45
"""Of dry food for livebearers, by labels in general; judgement."""


@dataclass(frozen=True, slots=True)
class NitrateAhead:
    """The outlook of one tank, or what is missing to make one."""

    outlook: Outlook | None
    missing: str = ""


def nitrate_ahead(
    actor: Actor,
    ledger: TankLedger | Recent,
    feed_g_per_day: float | None,
    ceiling_mg_per_l: float = CEILING_MG_PER_L,
) -> NitrateAhead:
    """Reckon when nitrate reaches the ceiling."""
    since = actor.today - timedelta(days=LOOK_BACK_DAYS)
    tests = {
        actor.day(event.at): event.level
        for event in ledger.events
        if isinstance(event, Measured) and event.key is Held.NITRATE
    }
    readings = [Reading(day, level) for day, level in tests.items() if day >= since]
    if not readings:
        return NitrateAhead(None, "Test nitrate once, and it is known when the next change is due.")
    first = min(reading.day for reading in readings)
    done = [
        (actor.day(event.at), event.litres / ledger.litres, event.water.get(Held.NITRATE))
        for event in ledger.events
        if isinstance(event, Changed)
    ]
    changes = _told(first, done)
    if changes is None:
        return NitrateAhead(
            None, "Give the nitrate of the water you change with to know when it is too much."
        )
    prior = from_feed(feed_g_per_day, PROTEIN) if feed_g_per_day is not None else None
    return NitrateAhead(outlook(ledger.litres, readings, changes, actor.today, ceiling_mg_per_l, prior))


def _told(first: date, done: list[tuple[date, float, float | None]]) -> list[Change] | None:
    """Return the changes since the first test; None where a water's nitrate was never told."""
    later = [one for one in done if one[0] >= first]
    if any(nitrate is None for _, _, nitrate in later):
        return None
    return [Change(day, share, nitrate or 0.0) for day, share, nitrate in later]

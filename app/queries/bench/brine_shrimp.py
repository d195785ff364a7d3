"""When to start a brine-shrimp hatch, and with how much, to have nauplii on time."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from app.core.cautions import Caution
from app.core.quantities import Units, show_mass, show_temperature, show_volume
from app.core.water.brine_shrimp import CYSTS_G_PER_L, SALINITY_G_PER_KG, Hatch, hatch_for, hatch_hours
from app.core.water.salt import salt_per_kg_water
from app.core.wording import weekday_words
from app.queries.bench.answers import Answer, fig
from app.store.actor import Actor

LATE = (
    "That start has passed. Started now, the nauplii are ready {early} to {late}; "
    "bridge the gap with other food."
)


def hatch(actor: Actor, nauplii: float, ready: datetime, temperature_c: float, per_gram: float) -> Answer:
    """Plan a hatch that is ready at an hour of the fishroom's clock."""
    zone = ZoneInfo(actor.zone)
    planned = hatch_for(nauplii, ready.replace(tzinfo=zone).astimezone(UTC), temperature_c, per_gram)
    return Answer(
        f"Start {_clock(planned.start, actor)} with {_cysts(planned.cysts_g)} of cysts.",
        (
            (
                f"In {_jar(planned.litres, actor.units)} of water with {show_mass(planned.salt_g)} of "
                f"salt, at {show_temperature(temperature_c, actor.units)}, light on, air through it."
            ),
            (
                f"A quick strain hatches from {_clock(planned.earliest_ready, actor)}; even a slow "
                f"one is ready by {_clock(planned.ready, actor)}."
            ),
        ),
        _working(nauplii, per_gram, planned, temperature_c),
        cautions=_late(actor, planned, temperature_c),
    )


def _working(nauplii: float, per_gram: float, planned: Hatch, temperature_c: float) -> tuple[str, ...]:
    hours = hatch_hours(temperature_c)
    return (
        f"cysts = {fig(nauplii)} / {fig(per_gram)} a gram = {fig(planned.cysts_g)} g",
        f"water = {fig(planned.cysts_g)} g / {CYSTS_G_PER_L:g} g/L = {fig(planned.litres)} L",
        (
            f"salt = {fig(planned.litres)} L × {fig(salt_per_kg_water(SALINITY_G_PER_KG))} g/L "
            f"({SALINITY_G_PER_KG:g} g/kg) = {fig(planned.salt_g)} g"
        ),
        f"hours at {fig(temperature_c)} °C: {fig(hours.quick)} to {fig(hours.slow)}",
        f"start = the hour wanted − {fig(hours.slow)} h",
    )


def _late(actor: Actor, planned: Hatch, temperature_c: float) -> tuple[Caution, ...]:
    if planned.start >= actor.now:
        return ()
    hours = hatch_hours(temperature_c)
    early, late = (_clock(actor.now + timedelta(hours=h), actor) for h in (hours.quick, hours.slow))
    return (Caution(LATE.format(early=early, late=late), "Too late for that hour"),)


def _jar(litres: float, units: Units) -> str:
    """Return small jars in millilitres everywhere: nobody measures a thirtieth of a gallon."""
    return show_volume(litres, Units.METRIC if litres < 1 else units)


def _cysts(grams: float) -> str:
    return show_mass(grams) if grams >= 0.1 else f"{fig(grams)} g (a pinch: weigh a gram and divide it)"


def _clock(moment: datetime, actor: Actor) -> str:
    """Return ``Fri 12 June 18:00`` by the fishroom's clock."""
    local = actor.local(moment)
    return f"{weekday_words(local.date(), actor.today)} {local:%H:%M}"


def usual_day(today: date) -> date:
    """Return the first day that every usual warmth can still be in time for."""
    return today + timedelta(days=2)

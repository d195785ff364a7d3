"""What an acclimation begins with: who came together, their water, and the tank's."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import show_hardness, show_salinity, show_temperature
from app.core.water.ledger import Held
from app.queries.ledger import tank_ledger
from app.queries.occupants import label_of
from app.queries.targets import targets_of
from app.store.actor import Actor
from app.store.fish import Fish
from app.store.lines import Line
from app.store.readings import Quantity, ReadingDay
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section, Tank


@dataclass(frozen=True, slots=True)
class AcclimationAsked:
    """One arrival: the fish, the water they came in, and the tank's, with where that is known from."""

    fish_id: int
    label: str
    tank: tuple[int, str] | None
    mates: tuple[tuple[int, str], ...]
    salinity_g_per_l: float | None
    gh_dh: float | None
    temperature_c: float | None
    goal_salinity_g_per_l: float | None
    goal_gh_dh: float | None
    goal_temperature_c: float | None
    words: str


def acclimation_asked(session: Session, actor: Actor, fish_id: int) -> AcclimationAsked:
    """Read what is known of both waters."""
    fish = find(session, Fish, fish_id)
    actor.must_log()
    stays = rows(session, Stay, Stay.fish_id == fish.id, Stay.to_on.is_(None))
    tank_id = find(session, Section, stays[0].section_id).tank_id if stays else None
    tank = find(session, Tank, tank_id) if tank_id is not None else None
    salt, gh, warm, words = _goal(session, actor, tank, fish) if tank is not None else (None, None, None, "")
    return AcclimationAsked(
        fish.id,
        label_of(fish),
        (tank.id, tank.name) if tank is not None else None,
        _mates(session, actor, fish, tank_id),
        fish.origin_salinity_g_per_l,
        fish.origin_gh_dh,
        fish.origin_temperature_c,
        salt,
        gh,
        warm,
        words,
    )


def _mates(session: Session, actor: Actor, fish: Fish, tank_id: int | None) -> tuple[tuple[int, str], ...]:
    """Return the fish that came on the same day and stand in the same tank, itself first."""
    statement = (
        select(Fish)
        .join(Stay, Stay.fish_id == Fish.id)
        .join(Section, Section.id == Stay.section_id)
        .where(
            Fish.fishroom_id == actor.fishroom_id,
            Fish.left_on.is_(None),
            Stay.to_on.is_(None),
            Section.tank_id == tank_id,
            Fish.arrived_on == fish.arrived_on,
        )
        .order_by(Fish.id != fish.id, Fish.code)
    )
    return tuple((one.id, label_of(one)) for one in session.scalars(statement))


def _goal(
    session: Session, actor: Actor, tank: Tank, fish: Fish
) -> tuple[float | None, float | None, float | None, str]:
    """Return the tank's salt and GH by its ledger, GH else by its target, its warmth, and all in words."""
    ledger = tank_ledger(session, actor, tank.id)
    salt, gh = ledger.level(Held.SALT, actor.now), ledger.level(Held.GH, actor.now)
    by = "by its ledger"
    if gh is None:
        line = find(session, Line, fish.line_id)
        wanted = targets_of(session, {tank.id: [line]})[tank.id].get(Quantity.GH.value)
        ends = (wanted.range.low, wanted.range.high) if wanted is not None else (None, None)
        gh, by = ends[0] if ends[0] is not None else ends[1], "GH as wanted at least: test it"
    latest = session.scalar(
        select(ReadingDay.mean)
        .where(
            ReadingDay.fishroom_id == actor.fishroom_id,
            ReadingDay.tank_id == tank.id,
            ReadingDay.quantity == Quantity.TEMPERATURE,
        )
        .order_by(ReadingDay.day.desc())
        .limit(1)
    )
    warm = tank.set_point_c if latest is None else latest
    parts = [
        f"salt {show_salinity(salt)}" if salt is not None else "",
        f"GH {show_hardness(gh, actor.units)}" if gh is not None else "",
        show_temperature(warm, actor.units) if warm is not None else "",
    ]
    return salt, gh, warm, f"{', '.join(filter(None, parts))} ({by})"

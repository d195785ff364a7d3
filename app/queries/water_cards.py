"""The water card that goes with rehomed fish: who they are, and the water they were raised in."""

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import Units, show_temperature
from app.core.species import species
from app.core.wording import day_words, many, span_words
from app.queries.evidence.thermometers import Spell, spells_of_batches, spells_of_fish, thermometers
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.fish import Fish, Precision, Sex
from app.store.lines import Line
from app.store.rehomings import Rehoming
from app.store.session import find
from app.store.tanks import Tank

WEEKS_BACK = 4
WORDS = {BatchSex.FEMALES: "female", BatchSex.MALES: "male"}


@dataclass(frozen=True, slots=True)
class WaterCard:
    """One card; ``text`` is what its code says."""

    id: int
    batch_id: int | None
    fish_id: int | None
    code: str
    line: str
    species: str
    scientific: str
    who: str
    born: str
    day: str
    tank: str
    temperature: str
    readings: str
    mated: str
    text: str


@dataclass(frozen=True, slots=True)
class _Who:
    """The fish of a card, whichever way they were kept."""

    batch: Batch | None
    fish: Fish | None
    line: Line
    code: str
    number: str
    born: str
    mated: str


@dataclass(frozen=True, slots=True)
class _Water:
    """Where they stood last, and what the thermometer showed in the weeks before."""

    tank: str
    temperature: str
    readings: str


def water_card(session: Session, actor: Actor, rehoming_id: int) -> WaterCard:
    """Read what one card says."""
    gone = find(session, Rehoming, rehoming_id)
    who = _who(session, gone)
    water = _water(session, actor, gone)
    kind = species(who.line.species)
    return WaterCard(
        gone.id,
        gone.batch_id,
        gone.fish_id,
        who.code,
        who.line.name,
        kind.common_name,
        kind.scientific_name,
        who.number,
        who.born,
        day_words(gone.rehomed_on),
        water.tank,
        water.temperature,
        water.readings,
        who.mated,
        "\n".join(
            (
                f"{kind.common_name} ({kind.scientific_name}), line {who.line.name}, {who.code}",
                f"{who.number}, born {who.born}, rehomed {day_words(gone.rehomed_on)}",
                f"Raised at {water.temperature}",
                "Never release fish or their water outdoors.",
            )
        ),
    )


def _who(session: Session, gone: Rehoming) -> _Who:
    if gone.batch_id is not None:
        batch = find(session, Batch, gone.batch_id)
        word = WORDS.get(batch.sex)
        number = many(gone.number, word) if word else f"{gone.number} fish, sexes not told apart"
        return _Who(
            batch,
            None,
            find(session, Line, batch.line_id),
            batch.code,
            number,
            span_words(batch.born_from, batch.born_to),
            "Females raised among males may carry, even when kept alone."
            if batch.sex is not BatchSex.MALES
            else "",
        )
    fish = find(session, Fish, gone.fish_id)
    return _Who(
        None,
        fish,
        find(session, Line, fish.line_id),
        fish.code,
        "1 fish" if fish.sex is Sex.UNKNOWN else f"1 {fish.sex.value}",
        _born(fish),
        "She may carry, even when kept alone." if fish.sex is Sex.FEMALE else "",
    )


def _born(fish: Fish) -> str:
    if fish.born_on is None:
        return "on an unknown day"
    exact = fish.born_precision is Precision.DAY
    return day_words(fish.born_on) if exact else f"about {day_words(fish.born_on)}"


def _water(session: Session, actor: Actor, gone: Rehoming) -> _Water:
    spells = _spells(session, actor, gone)
    since = gone.rehomed_on - timedelta(weeks=WEEKS_BACK)
    if not spells:
        return _Water("", "not known", "")
    warm = thermometers(session, actor, since)
    kept = [degrees for day, degrees in warm.log(spells, since).readings if day <= gone.rehomed_on]
    tank = session.scalar(select(Tank.name).where(Tank.id == spells[-1].tank_id)) or ""
    if not kept:
        point = show_temperature(warm.set_points.get(spells[-1].tank_id, warm.usual_c), actor.units)
        return _Water(tank, f"{point} (heater setting)", "no readings in the last four weeks")
    return _Water(tank, _range(kept, actor.units), f"{many(len(kept), 'day')} read in the last four weeks")


def _spells(session: Session, actor: Actor, gone: Rehoming) -> list[Spell]:
    """Return where they stood up to the day they went."""
    room = actor.fishroom_id
    if gone.batch_id is not None:
        found = spells_of_batches(session, room, [gone.batch_id]).get(gone.batch_id, [])
    else:
        fish_id = gone.fish_id or 0
        found = spells_of_fish(session, room, [fish_id]).get(fish_id, [])
    return [spell for spell in found if spell.start <= gone.rehomed_on]


def _range(degrees: list[float], units: Units) -> str:
    mean = show_temperature(sum(degrees) / len(degrees), units)
    low, high = (show_temperature(each, units) for each in (min(degrees), max(degrees)))
    return mean if low == high else f"{mean} on average, {low} to {high}"

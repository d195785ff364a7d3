"""The keeper's waters and substances: what each holds or does, and what the forms begin with."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.cautions import Hazard
from app.core.quantities import show_hardness, show_temperature
from app.core.water.ledger import Held
from app.core.water.levels import day_count, show_held, show_level
from app.core.wording import listed
from app.queries.evidence.waters import contents, gains_of
from app.store.actor import Actor
from app.store.session import rows
from app.store.waters import Measure, SourceWater, Substance, SubstanceKind


@dataclass(frozen=True, slots=True)
class WaterShown:
    """One water: what it holds in words, and what nobody measured."""

    id: int
    name: str
    words: str
    missing: str
    note: str


@dataclass(frozen=True, slots=True)
class SubstanceShown:
    """One substance: what it does in words."""

    id: int
    name: str
    kind: str
    words: str
    hazard: str
    note: str


@dataclass(frozen=True, slots=True)
class WatersPage:
    """What is in use, and what was put away."""

    waters: tuple[WaterShown, ...]
    substances: tuple[SubstanceShown, ...]
    old_waters: tuple[WaterShown, ...]
    old_substances: tuple[SubstanceShown, ...]


def waters_page(session: Session, actor: Actor) -> WatersPage:
    """Read them all."""
    waters = rows(session, SourceWater, order=SourceWater.name)
    substances = rows(session, Substance, order=Substance.name)
    return WatersPage(
        _waters(actor, [one for one in waters if one.retired_on is None]),
        _substances([one for one in substances if one.retired_on is None]),
        _waters(actor, [one for one in waters if one.retired_on is not None]),
        _substances([one for one in substances if one.retired_on is not None]),
    )


def _waters(actor: Actor, waters: Sequence[SourceWater]) -> tuple[WaterShown, ...]:
    return tuple(WaterShown(one.id, one.name, _holds(actor, one), _missing(one), one.note) for one in waters)


def _holds(actor: Actor, water: SourceWater) -> str:
    parts = []
    for held, level in contents(water).items():
        if level is None:
            continue
        shown = show_hardness(level, actor.units) if held in {Held.GH, Held.KH} else show_held(held, level)
        parts.append(f"no {held.value}" if level == 0 else f"{held.value} {shown}")
    if water.ph is not None:
        parts.append(f"pH {water.ph:g}")
    if water.temperature_c is not None:
        parts.append(show_temperature(water.temperature_c, actor.units))
    return listed(parts)


def _missing(water: SourceWater) -> str:
    return listed([held.value for held, level in contents(water).items() if level is None])


def _substances(substances: Sequence[Substance]) -> tuple[SubstanceShown, ...]:
    return tuple(
        SubstanceShown(
            one.id,
            one.name,
            one.kind.value,
            _does(one),
            "" if one.hazard is Hazard.NONE else one.hazard.value,
            one.note,
        )
        for one in substances
    )


def _does(substance: Substance) -> str:
    parts = [substance.formula] if substance.formula else []
    if substance.kind in {SubstanceKind.SALT, SubstanceKind.MINERAL}:
        parts.extend(_raises(substance))
    if substance.label_dose_per_l is not None:
        parts.append(f"label’s dose {show_level(substance.label_dose_per_l, substance.measure)}")
    if substance.half_life_days is not None:
        parts.append(f"half gone in {day_count(substance.half_life_days)}")
    return ", ".join(parts)


PER = {Measure.GRAM: "10 g", Measure.MILLILITRE: "10 mL", Measure.PIECE: "1 piece"}
TIMES = {Measure.GRAM: 10.0, Measure.MILLILITRE: 10.0, Measure.PIECE: 1.0}
LITRES = 100.0


def _raises(substance: Substance) -> list[str]:
    """Return such as ``10 g in 100 L raise GH by 0.8 °dH``."""
    gains = gains_of(substance)
    known = [(key, gains[key]) for key in (Held.GH, Held.KH)]
    if any(gain is None for _, gain in known):
        return ["what it does to hardness is not told"]
    times = TIMES[substance.measure] / LITRES
    said = [f"{key.value} by {show_held(key, gain * times)}" for key, gain in known if gain]
    return [f"{PER[substance.measure]} in 100 L raise {listed(said)}"] if said else []

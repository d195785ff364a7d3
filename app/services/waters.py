"""Source waters: what the keeper pours, with what each holds."""

from dataclasses import asdict, dataclass
from typing import Any

from sqlalchemy import func
from sqlalchemy.orm import Session

from app.core.quantities.parsing import HOTTEST_C
from app.core.water.seawater import SALTIEST
from app.core.wording import day_words
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.waters import SourceWater, Substance

LONGEST_NAME = 60
HARDEST_DH = 100.0
MOST_NITRATE = 1000.0
Named = SourceWater | Substance
Kind = type[SourceWater] | type[Substance]


@dataclass(frozen=True, slots=True)
class NewWater:
    """What a water is called and holds; None where nobody measured it."""

    name: str
    salinity_g_per_l: float | None = None
    gh_dh: float | None = None
    kh_dh: float | None = None
    ph: float | None = None
    nitrate_mg_per_l: float | None = None
    temperature_c: float | None = None
    note: str = ""


def add_water(session: Session, actor: Actor, told: NewWater) -> SourceWater:
    """Add a water to choose from."""
    actor.must_manage()
    check_name(session, SourceWater, told.name, "water")
    _check(told)
    entry = Entry(session, actor, "add water")
    water = entry.add(SourceWater(**_values(told)))
    entry.tell(f"water:{water.id}", f"Water {water.name} added")
    return water


def change_water(session: Session, actor: Actor, water_id: int, told: NewWater) -> SourceWater:
    """Put right what a water is called or holds; what it brought to the tanks follows."""
    actor.must_manage()
    water = find(session, SourceWater, water_id)
    check_name(session, SourceWater, told.name, "water", but=water.id)
    _check(told)
    entry = Entry(session, actor, "change water's figures")
    entry.change(water, **_values(told))
    entry.tell(f"water:{water.id}", f"Water {water.name} changed")
    return water


def retire_water(session: Session, actor: Actor, water_id: int) -> SourceWater:
    """Put a water away: it stays in what was poured, and is offered no more."""
    actor.must_manage()
    water = find(session, SourceWater, water_id)
    retire(Entry(session, actor, "retire water"), water, "water")
    return water


def bring_back_water(session: Session, actor: Actor, water_id: int) -> SourceWater:
    """Offer a water again that was put away."""
    actor.must_manage()
    water = find(session, SourceWater, water_id)
    bring_back(Entry(session, actor, "bring back water"), water, "water")
    return water


def check_name(session: Session, kind: Kind, name: str, what: str, but: int | None = None) -> None:
    """Refuse no name, a long one, or one that another of its kind has."""
    plain = name.strip()
    if not plain:
        raise Refused(f"Give the {what} a name, as you call it.", "name")
    if len(plain) > LONGEST_NAME:
        raise Refused(f"A name has at most {LONGEST_NAME} letters. Shorten it.", "name")
    if any(one.id != but for one in rows(session, kind, func.lower(kind.name) == plain.lower())):
        raise Refused(f"There is a {what} {plain} already. Choose another name.", "name")


def retire(entry: Entry, one: Named, what: str) -> None:
    """Put a water or a substance away."""
    if one.retired_on is not None:
        raise Refused(f"{one.name} was put away on {day_words(one.retired_on)}.", what)
    entry.change(one, retired_on=entry.actor.today)
    entry.tell(f"{what}:{one.id}", f"{one.name} put away")


def bring_back(entry: Entry, one: Named, what: str) -> None:
    """Offer a water or a substance again."""
    if one.retired_on is None:
        raise Refused(f"{one.name} is in use.", what)
    entry.change(one, retired_on=None)
    entry.tell(f"{what}:{one.id}", f"{one.name} is back in use")


def check_figure(value: float | None, most: float, field: str, words: str) -> None:
    """Refuse a figure below zero or beyond what can be."""
    if value is not None and not 0 <= value <= most:
        raise Refused(f"{value:g} cannot be {words}; give 0 to {most:g}, or leave it empty.", field)


def _check(told: NewWater) -> None:
    check_figure(told.salinity_g_per_l, SALTIEST, "salinity_g_per_l", "a salinity in g/L")
    check_figure(told.gh_dh, HARDEST_DH, "gh_dh", "a hardness in °dH")
    check_figure(told.kh_dh, HARDEST_DH, "kh_dh", "a hardness in °dH")
    check_figure(told.ph, 14.0, "ph", "a pH")
    check_figure(told.nitrate_mg_per_l, MOST_NITRATE, "nitrate_mg_per_l", "nitrate in mg/L")
    check_figure(told.temperature_c, HOTTEST_C, "temperature_c", "a temperature in °C")


def _values(told: NewWater) -> dict[str, Any]:
    return {**asdict(told), "name": told.name.strip(), "note": told.note.strip()}

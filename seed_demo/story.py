"""Plays the invented fishroom through the services, day by day up to today."""

import hashlib
import secrets
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from app.core.quantities import Units
from app.services import accounts, fishrooms, forecasts
from app.store.actor import Actor
from app.store.session import enter
from app.store.users import Role
from seed_demo import ailing, aims, breeding, growing, places, rounds, settling, stock, watering
from seed_demo.script import Row, read
from seed_demo.stage import Stage
from seed_demo.thermometers import Thermometers

HERE = Path(__file__).resolve().parent
PLAYED = ((HERE, "*.py"), (HERE / "data", "*.csv"), (HERE.parent / "migrations", "versions/*.py"))
"""The story and what it rests on; where one of these changes, the demo is loaded anew."""
KEEPER = "keeper@demo.example"
PEOPLE = {KEEPER: Role.KEEPER, "helper@demo.example": Role.HELPER, "reader@demo.example": Role.READER}
ZONE = "Europe/Berlin"
FORECAST = {"arrivals", "juveniles", "drops", "settled", "moves", "pairings", "kept", "sorts"}
"""What may start a clock or a batch, so that a new forecast is shown that evening."""

ACTS: dict[str, Callable[[Stage, Row], None]] = {
    "tanks": places.add_tank,
    "sections": places.add_section,
    "waters": watering.add_water,
    "substances": watering.add_substance,
    "lines": stock.add_line,
    "projects": aims.plan,
    "project_states": aims.step,
    "ticks": aims.tick,
    "money": aims.spend,
    "arrivals": stock.arrive,
    "juveniles": growing.juveniles,
    "drops": breeding.drop,
    "settled": breeding.settle,
    "losses": growing.lose,
    "counts": growing.count,
    "lengths": growing.measure,
    "sorts": growing.sort,
    "kept": growing.keep,
    "pairings ended": breeding.part,
    "rehomings": growing.rehome,
    "wants": growing.wait,
    "departures": stock.leave,
    "moves": places.move,
    "pairings": breeding.pair,
    "signs": stock.sign,
    "cases": ailing.open_case,
    "courses": ailing.course,
    "case_steps": ailing.step,
    "case_ends": ailing.close,
    "water_tests": watering.test,
    "changes": watering.change,
    "top_ups": watering.top_up,
    "doses": watering.dose,
    "targets": settling.want,
    "fry_care": settling.care,
    "acclimations": settling.lead_over,
    "plan_steps": settling.step,
    "answers": rounds.answer,
}
"""How each file is played, in the order of the acts of one evening."""


def version() -> str:
    """Return a short digest of the story and of everything it rests on."""
    digest = hashlib.sha256()
    for folder, pattern in PLAYED:
        for path in sorted(folder.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()[:8]


def load(session: Session, now: datetime, say: Callable[[str], None]) -> None:
    """Make the fishroom and its people, and play eighteen months of records up to ``now``."""
    people = _people(session, now)
    keeper, helper = people[KEEPER], people["helper@demo.example"]
    enter(session, keeper.fishroom_id)
    fishrooms.set_planning(session, keeper, turn_round_days=4, money="EUR")
    stage, weather = Stage(session, keeper, keeper.today), Thermometers()
    evenings, away = _evenings(), list(read("away"))
    for done, (ago, rows) in enumerate(evenings):
        gone = any(spell.ago >= ago >= spell.whole("until") for spell in away)
        _play(stage.on(ago, helper if gone else keeper, now), weather, ago, rows)
        if done % 100 == 99:
            say(f"  {stage.day(ago)}: {sum(len(each) for _, each in evenings[: done + 1])} records")
    weather.read_until(stage.on(0, keeper, now), 0)


def _people(session: Session, now: datetime) -> dict[str, Actor]:
    """Make the fishroom and whoever may sign in; nobody is told the passwords."""
    room = accounts.add_fishroom(
        session, "Cellar fishroom (invented demo)", now, zone=ZONE, units=Units.METRIC
    )
    found = {}
    for address, role in PEOPLE.items():
        user = accounts.add_user(session, address, secrets.token_urlsafe(24), now)
        accounts.add_member(session, room, user, role)
        found[address] = Actor(user.id, room.id, role, now, ZONE, Units.METRIC, room.set_point_c)
    return found


def _evenings() -> list[tuple[int, list[Row]]]:
    """Return the rows of every file by day, the longest ago first, in the order of the acts."""
    by_day: dict[int, list[Row]] = defaultdict(list)
    for noun in ACTS:
        for row in _rows(noun):
            by_day[row.ago].append(row)
    return sorted(by_day.items(), reverse=True)


def _rows(noun: str) -> list[Row]:
    if noun in {"changes", "plan_steps"}:
        return [one for row in read(noun) for one in watering.repeated(row)]
    if noun != "pairings ended":
        return list(read(noun))
    ended = (row for row in read("pairings") if row.text("ended_ago"))
    return [replace(row, noun=noun, ago=row.whole("ended_ago")) for row in ended]


def _play(stage: Stage, weather: Thermometers, ago: int, rows: list[Row]) -> None:
    """Play one evening: what was done, what the thermometers showed, what is forecast from then on."""
    for row in rows:
        try:
            ACTS[row.noun](stage, row)
        except (ValueError, LookupError, PermissionError) as error:
            raise RuntimeError(f"{row.noun} {ago} days ago, {row.cells}: {error}") from error
    weather.read_until(stage, ago)
    if not FORECAST.isdisjoint(row.noun for row in rows):
        forecasts.issue_missing(stage.session, stage.actor)

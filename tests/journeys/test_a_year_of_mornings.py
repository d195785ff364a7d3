"""A year of one small fishroom: what its keeper is told every morning, kept to be read.

The snapshot is read by people. Where it differs, read the difference first; then renew it by
``BROODWATER_RENEW=1 python -m pytest tests/journeys/test_a_year_of_mornings.py``.
"""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from freezegun import freeze_time

from app.core.reminders import Reminder, due
from app.notify.outbox import Outbox
from app.notify.outcome import Fate, Outcome
from app.queries.books import books
from app.queries.facts import morning
from app.services import (
    accounts,
    batch_splits,
    batches,
    broods,
    carryings,
    channels,
    deliveries,
    fish,
    lines,
    pairings,
    rehomings,
    reminders,
    tanks,
)
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.carryings import Outcome as Ended
from app.store.fish import Fish, Sex, WithMales
from app.store.lines import Line
from app.store.pairings import Pairing
from app.store.reminders import AnswerKind
from app.store.session import RoomSession, enter, rows
from app.store.tanks import Section
from app.store.users import Role

KEPT = Path(__file__).parent / "snapshots" / "a_year_of_mornings.txt"
FIRST, LAST = date(2026, 1, 5), date(2026, 12, 31)
BERLIN = ZoneInfo("Europe/Berlin")
SATURDAY = 5
DOES_THINGS = {2, SATURDAY}
MADE_READY = {"fry_place", "window_opening"}
"""What is answered on the next Wednesday or Saturday."""
OUTBOX = Outbox("only for tests", "mailto://mail.fish.example?from=room@fish.example")


@dataclass
class Year:
    """The fishroom, its keeper and the moment it is there."""

    session: RoomSession
    keeper: Actor
    places: dict[str, int] = field(default_factory=dict)

    def at(self, day: date, hour: int) -> datetime:
        """Let it be an hour of a day."""
        moment = datetime.combine(day, time(hour), BERLIN).astimezone(UTC)
        self.keeper = replace(self.keeper, now=moment)
        return moment

    @property
    def today(self) -> date:
        """The day it is."""
        return self.keeper.today

    def fish(self, code: str) -> int:
        """Return a fish's number."""
        return rows(self.session, Fish, Fish.code == code)[0].id

    def due(self) -> list[Reminder]:
        """Return what the rounds ask for."""
        today = morning(self.session, self.keeper)
        return due(today.facts, today.answers)

    def newest(self) -> int:
        """Return the batch that was born last."""
        return max(rows(self.session, Batch), key=lambda batch: batch.born_from).id

    def alive(self, batch_id: int) -> int:
        """Return how many of a batch are left."""
        return books(self.session, self.keeper.fishroom_id, [batch_id])[batch_id].alive


def begun(session: RoomSession) -> Year:
    """Open a fishroom with three tanks and an address for its mornings."""
    began = datetime.combine(FIRST, time(9), BERLIN).astimezone(UTC)
    room = accounts.add_fishroom(session, "Cellar", began, zone="Europe/Berlin")
    user = accounts.add_user(session, "keeper@fish.example", "a long enough password", began)
    accounts.add_member(session, room, user, Role.KEEPER)
    enter(session, room.id)
    year = Year(session, Actor(user.id, room.id, Role.KEEPER, began, room.time_zone))
    for name, litres in (("Window", 54.0), ("Shelf", 54.0), ("Rack", 112.0)):
        tank = tanks.add_tank(session, year.keeper, name=name, litres=litres)
        year.places[name] = rows(session, Section, Section.tank_id == tank.id)[0].id
    channels.add_channel(session, year.keeper, OUTBOX, address="keeper@fish.example", send_at=time(7))
    return year


def two_come(year: Year) -> None:
    """A virgin female and a male arrive, each for two weeks on its own."""
    copper = lines.add_line(year.session, year.keeper, lines.NewLine("Copper", "guppy"))
    for sex, place, code in ((Sex.FEMALE, "Shelf", "C-1"), (Sex.MALE, "Window", "C-2")):
        told = fish.Arrival(
            sex,
            year.today,
            year.places[place],
            copper.id,
            codes=code,
            born_on=year.today - timedelta(days=200),
            with_males=WithMales.NO,
            quarantine_days=14,
        )
        fish.acquire(year.session, year.keeper, told)


def quarantine_is_over(year: Year) -> None:
    """Both look well."""
    answered(year, "quarantine_ends", AnswerKind.DONE)


def answered(year: Year, rule: str, kind: AnswerKind) -> None:
    """Answer every reminder of a rule."""
    for one in year.due():
        if one.rule == rule:
            reminders.answer(year.session, year.keeper, key=one.key, kind=kind)


def paired(dam: str, sire: str, place: str) -> Callable[[Year], None]:
    """Put two fish together."""

    def act(year: Year) -> None:
        pairings.make_pairing(
            year.session,
            year.keeper,
            section_id=year.places[place],
            dam_ids=[year.fish(dam)],
            sire_ids=[year.fish(sire)],
            started_on=year.today,
        )

    return act


def dropped(dam: str, live: int, dead: int = 0) -> Callable[[Year], None]:
    """Log a drop; the fry go to the rack a week later."""

    def act(year: Year) -> None:
        broods.log_drop(
            year.session, year.keeper, dam_id=year.fish(dam), dropped_from=year.today, live=live, dead=dead
        )

    return act


def fry_to(place: str) -> Callable[[Year], None]:
    """Move the newest batch."""

    def act(year: Year) -> None:
        newest = year.newest()
        batches.move(year.session, year.keeper, newest, section_id=year.places[place], on=year.today)

    return act


def all_go(year: Year) -> None:
    """The newest batch goes to a friend."""
    newest = year.newest()
    rehomings.rehome(
        year.session, year.keeper, newest, on=year.today, number=year.alive(newest), to_whom="a friend"
    )


def the_male_goes(year: Year) -> None:
    """The sire leaves; his sperm stays."""
    running = rows(year.session, Pairing, Pairing.ended_on.is_(None))[0]
    pairings.end_pairing(year.session, year.keeper, running.id, on=year.today)
    rehomings.rehome_fish(year.session, year.keeper, year.fish("C-2"), on=year.today)


def not_carrying(year: Year) -> None:
    """She is thin and stays so."""
    carryings.settle(year.session, year.keeper, year.fish("C-1"), Ended.NOT_CARRYING)


def she_retires(year: Year) -> None:
    """The first dam goes to a friend."""
    rehomings.rehome_fish(year.session, year.keeper, year.fish("C-1"), on=year.today)


def a_daughter_is_kept(year: Year) -> None:
    """A female of the first batch becomes the next dam."""
    batch = next(b for b in rows(year.session, Batch) if b.sex is BatchSex.FEMALES)
    batch_splits.keep(
        year.session,
        year.keeper,
        batch.id,
        on=year.today,
        sex=Sex.FEMALE,
        section_id=year.places["Rack"],
        code="C-3",
    )


def a_new_male_comes(year: Year) -> None:
    """A male from elsewhere arrives for her."""
    line = rows(year.session, Line)[0].id
    told = fish.Arrival(Sex.MALE, year.today, year.places["Shelf"], line, codes="D-1", quarantine_days=14)
    fish.acquire(year.session, year.keeper, told)


STORY: dict[date, Callable[[Year], None]] = {
    date(2026, 1, 5): two_come,
    date(2026, 1, 20): quarantine_is_over,
    date(2026, 1, 21): paired("C-1", "C-2", "Window"),
    date(2026, 2, 18): dropped("C-1", 14),
    date(2026, 2, 25): fry_to("Rack"),
    date(2026, 3, 19): dropped("C-1", 22, dead=1),
    date(2026, 3, 22): fry_to("Shelf"),
    date(2026, 4, 9): all_go,
    date(2026, 4, 17): dropped("C-1", 0, dead=6),
    date(2026, 4, 24): the_male_goes,
    date(2026, 4, 27): a_daughter_is_kept,
    date(2026, 5, 15): dropped("C-1", 9),
    date(2026, 5, 22): fry_to("Shelf"),
    date(2026, 7, 4): not_carrying,
    date(2026, 8, 10): a_new_male_comes,
    date(2026, 8, 20): she_retires,
    date(2026, 8, 25): quarantine_is_over,
    date(2026, 9, 1): paired("C-3", "D-1", "Window"),
    date(2026, 10, 2): dropped("C-3", 8),
    date(2026, 10, 9): fry_to("Rack"),
    date(2026, 10, 31): dropped("C-3", 17),
    date(2026, 11, 7): fry_to("Shelf"),
    date(2026, 11, 21): all_go,
    date(2026, 11, 30): dropped("C-3", 12),
    date(2026, 12, 7): fry_to("Rack"),
}
"""What happens in the evening of a day; the rest of what the keeper does follows from what is asked."""


def evening(year: Year) -> None:
    """Do what the story has, what was made ready, and on Saturdays what the rounds ask for."""
    if year.today in STORY:
        STORY[year.today](year)
    if year.today.weekday() in DOES_THINGS:
        for one in year.due():
            if one.rule in MADE_READY:
                reminders.answer(year.session, year.keeper, key=one.key, kind=AnswerKind.DONE)
            elif year.today.weekday() == SATURDAY and one.rule in HABITS and year.alive(one.subject.id):
                HABITS[one.rule](year, one)


def count(year: Year, one: Reminder) -> None:
    """Count; every third week one is missing."""
    alive = year.alive(one.subject.id)
    lost = year.today.isocalendar().week % 3 == 0 and alive > 6
    batches.log_count(year.session, year.keeper, one.subject.id, on=year.today, alive=alive - lost)


def measure(year: Year, one: Reminder) -> None:
    """Measure five, which grow as guppies do: from 7 mm towards 28 mm."""
    batch = rows(year.session, Batch, Batch.id == one.subject.id)[0]
    mean = 28.0 - 21.0 * 2.718281828 ** (-(year.today - batch.born_from).days / 70)
    spread = (-1.2, -0.5, 0.0, 0.4, 1.3)[: year.alive(batch.id)]
    batches.log_lengths(
        year.session, year.keeper, batch.id, on=year.today, lengths_mm=[round(mean + d, 1) for d in spread]
    )


def part(year: Year, one: Reminder) -> None:
    """Part sons and daughters."""
    alive = year.alive(one.subject.id)
    males = alive // 2
    batch_splits.sort_sexes(
        year.session,
        year.keeper,
        one.subject.id,
        on=year.today,
        females=alive - males,
        males=males,
        females_section_id=year.places["Rack"],
        males_section_id=year.places["Shelf"],
    )


def rehome(year: Year, one: Reminder) -> None:
    """Let up to four go each week."""
    number = min(4, year.alive(one.subject.id))
    rehomings.rehome(year.session, year.keeper, one.subject.id, on=year.today, number=number)


HABITS: dict[str, Callable[[Year, Reminder], None]] = {
    "count_due": count,
    "length_check_due": measure,
    "split_by": part,
    "ready_to_rehome": rehome,
}


def mornings(session: RoomSession) -> Iterator[str]:
    """Live through the year; yield every message as it was sent."""
    with freeze_time(datetime.combine(FIRST, time(9), BERLIN).astimezone(UTC), ignore=["_pytest."]) as clock:
        year = begun(session)
        for ahead in range((LAST - FIRST).days + 1):
            day = FIRST + timedelta(days=ahead)
            clock.move_to(year.at(day, 7))
            yield from sent(year)
            clock.move_to(year.at(day, 19))
            evening(year)
            year.session.commit()


def sent(year: Year) -> Iterator[str]:
    """Send what is due at this moment, as a pass does."""
    now = year.keeper.now
    for one in deliveries.waiting(year.session, now):
        mine = deliveries.claim(year.session, one, now)
        assert mine is not None
        message = deliveries.compose(year.session, mine, "https://fish.example")
        outcome = None if message is None else Outcome(Fate.SENT)
        deliveries.settle(year.session, mine, outcome, now)
        if message is not None:
            body, _, _ = message.text.partition("\nRounds: ")
            yield f"=== {now.astimezone(BERLIN):%H:%M} {body.rstrip()}\n"


@pytest.mark.slow
def test_a_year_of_mornings_reads_as_it_was_kept(session: RoomSession) -> None:
    told = "\n".join(mornings(session))
    if os.environ.get("BROODWATER_RENEW"):
        KEPT.write_text(told, encoding="utf-8")
    assert told == KEPT.read_text(encoding="utf-8"), "read the difference; then renew as told at the top"

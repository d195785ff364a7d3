"""The rules about care: fry apart from grown fish, fed and changed by age, boxes, nitrate, room, targets."""

from collections.abc import Iterator
from datetime import date, timedelta

from app.core.fry_care import FRY_UNTIL_DAYS, Care, care_at
from app.core.quantities import show_share
from app.core.reminders.dams import may_drop
from app.core.reminders.facts import Facts, FryFact, Reminder, RoomFact, Subject
from app.core.water.targets import advice
from app.core.wording import day_words, distance_words, listed, many, window_words

TOLD_DAYS = 4
"""So long a new stage is news."""
EATEN_DAYS = 42
"""So long fry are small enough to be eaten by most livebearers (common practice, no source)."""
NITRATE_DAYS = 2
"""So long before the ceiling may be reached a change is asked for (judgement)."""


def fry_feeding(facts: Facts) -> Iterator[Reminder]:
    """Say how often to feed the fry of a tank when its youngest reach the next stage."""
    for room in facts.rooms:
        youngest = _youngest(room, facts)
        if youngest is None:
            continue
        for care in youngest.care:
            begins = youngest.born + timedelta(days=care.from_age_days)
            yield Reminder(
                f"fry_feeding:{room.tank_id}:{begins}",
                "fry_feeding",
                Subject("tank", room.tank_id, room.tank),
                room.tank_id,
                begins,
                begins + timedelta(days=TOLD_DAYS),
                f"Feed the youngest in {room.tank} {_times(care.feeds_a_day)} a day from now on, "
                f"{_portion(care)}: {youngest.code}.",
                "growing",
            )


def _youngest(room: RoomFact, facts: Facts) -> FryFact | None:
    """Return the youngest batch of a tank that is still fry; of several the first."""
    young = [fry for fry in facts.fry if fry.tank_id == room.tank_id and _young(fry, facts.today)]
    return max(young, key=lambda fry: fry.born, default=None)


def _times(feeds: int) -> str:
    return {1: "once", 2: "twice"}.get(feeds, f"{feeds} times")


def _portion(care: Care) -> str:
    return "as much as is gone in two minutes" if care.feeds_a_day > 1 else "what is gone in five minutes"


def fry_change_due(facts: Facts) -> Iterator[Reminder]:
    """Ask for the water change of a tank with fry, by its youngest; a logged change answers it."""
    for room in facts.rooms:
        found = _change(room, facts)
        if found is None or _above(room):
            continue
        due, care = found
        told = room.changed_on is None
        since = "" if told else f", the last was {distance_words(room.changed_on or due, facts.today)}"
        yield Reminder(
            f"fry_change:{room.tank_id}:{due}",
            "fry_change_due",
            Subject("tank", room.tank_id, room.tank),
            room.tank_id,
            due,
            due + timedelta(days=TOLD_DAYS) if told else None,
            f"Change {show_share(care.change_fraction)} of {room.tank} for its fry: "
            f"every {_days(care.change_every_days)} at their age{since}.",
            "growing",
        )


def _above(room: RoomFact) -> bool:
    return room.nitrate is not None and room.nitrate.now >= room.nitrate.ceiling


def _days(days: int) -> str:
    return "day" if days == 1 else "week" if days == 7 else f"{days} days"


def _change(room: RoomFact, facts: Facts) -> tuple[date, Care] | None:
    """Return the day of the present occasion, and the stage; a new one after each change or period.

    Where no change was ever logged the keeper does without the ledger: then each stage is told once.
    """
    youngest = _youngest(room, facts)
    if youngest is None:
        return None
    care = care_at(youngest.care, (facts.today - youngest.born).days)
    if care is None:
        return None
    every = timedelta(days=care.change_every_days)
    if room.changed_on is None:
        return max(youngest.since, youngest.born + timedelta(days=care.from_age_days)) + every, care
    last = max(room.changed_on, youngest.since)
    return last + every * max(1, (facts.today - last) // every), care


def _young(fry: FryFact, today: date) -> bool:
    return 0 <= (today - fry.born).days < FRY_UNTIL_DAYS


def parents_out(facts: Facts) -> Iterator[Reminder]:
    """Ask to part young fry from the grown fish in their section."""
    for fry in facts.fry:
        if not fry.grown or (fry.since - fry.born).days > EATEN_DAYS:
            continue
        yield Reminder(
            f"parents_out:{fry.id}:{fry.since}",
            "parents_out",
            Subject("batch", fry.id, fry.code),
            fry.tank_id,
            fry.since,
            fry.since + timedelta(days=TOLD_DAYS),
            f"Part {listed(list(fry.grown))} from the fry of {fry.code}: grown livebearers eat fry. "
            "Move the fry, or the grown fish, or give the fry cover they can hide in.",
            "growing",
        )


def fry_box(facts: Facts) -> Iterator[Reminder]:
    """Say that a batch has been in a fry box for long enough."""
    for fry in facts.fry:
        if fry.box_since is None:
            continue
        yield Reminder(
            f"fry_box:{fry.id}:{fry.box_since}",
            "fry_box",
            Subject("batch", fry.id, fry.code),
            fry.tank_id,
            fry.box_since + timedelta(days=facts.box_days),
            None,
            f"{fry.code} has been in a fry box since {day_words(fry.box_since, facts.today)}: "
            "give them a tank or section of their own; a box is small and its water stands still.",
            "growing",
        )


def nitrate_due(facts: Facts) -> Iterator[Reminder]:
    """Ask for a change before nitrate reaches its ceiling; a change or a new test is a new occasion.

    A change that is due for fry anyway says enough, and the other way round where it is above.
    """
    for room in facts.rooms:
        reached, fry = room.nitrate, _change(room, facts)
        if reached is None:
            continue
        above = _above(room)
        if not above and fry is not None and fry[0] <= facts.today:
            continue
        when = (
            f"stands at about {reached.now:.0f} mg/L, above {reached.ceiling:g}"
            if above
            else f"reaches {reached.ceiling:g} mg/L {window_words(reached.reaches, facts.today)}"
        )
        yield Reminder(
            f"nitrate:{room.tank_id}:{reached.mark}",
            "nitrate_due",
            Subject("tank", room.tank_id, room.tank),
            room.tank_id,
            facts.today if above else reached.median - timedelta(days=NITRATE_DAYS),
            None,
            f"Nitrate in {room.tank} {when}: change water{_gently(room, facts)}.",
            "care",
        )


def _gently(room: RoomFact, facts: Facts) -> str:
    """Say how to change water beside a dam that is about to drop; nothing where there is none."""
    dams = [dam.code for dam in facts.dams if dam.tank_id == room.tank_id and may_drop(dam, facts.today)]
    return f", a little at a time while {listed(dams)} may drop any day" if dams else ""


def crowded(facts: Facts) -> Iterator[Reminder]:
    """Say that a tank is outgrown, and again when a quarter more room is wanted."""
    for room in facts.rooms:
        if room.wants_litres <= room.litres:
            continue
        quarters = int(4 * room.wants_litres / room.litres)
        yield Reminder(
            f"crowded:{room.tank_id}:{quarters}",
            "crowded",
            Subject("tank", room.tank_id, room.tank),
            room.tank_id,
            facts.today,
            None,
            f"{room.tank} is getting tight: {many(room.number, 'fish', 'fish')} of these lengths are "
            f"given about {room.wants_litres:.0f} L, and it has {room.litres:.0f}. "
            "Split, rehome, or change more water.",
            "growing",
        )


def out_of_range(facts: Facts) -> Iterator[Reminder]:
    """Say once that a reading lies outside what is wanted, with what to do."""
    for found in facts.strays:
        yield Reminder(
            f"range:{found.tank_id}:{found.quantity}:{found.mark}",
            "out_of_range",
            Subject("tank", found.tank_id, found.tank),
            found.tank_id,
            found.read_on,
            None,
            f"{found.name} in {found.tank} was {found.shown} {distance_words(found.read_on, facts.today)}; "
            f"wanted: {found.wanted}. {advice(found.quantity, high=found.high)}.",
            "care",
        )

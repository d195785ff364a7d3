"""The water of one tank: what is in it now, beside what was last tested, and what to do about it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.charts import Chart
from app.core.water.ammonia import as_nh3, unionised_n
from app.core.water.comparing import disagreement
from app.core.water.ledger import Held, Key, Measured
from app.core.water.levels import day_count, show_held, show_level
from app.core.water.nitrate import CEILING_MG_PER_L
from app.core.wording import distance_words, listed, window_words
from app.queries.bench.ammonia import meaning, milligrams
from app.queries.courses import off_course
from app.queries.evidence.waters import KEPT as FOLLOWED
from app.queries.history import Event
from app.queries.ledger import TankLedger, tank_ledger
from app.queries.nitrate import NitrateAhead, nitrate_ahead
from app.queries.plans import plans_shown
from app.queries.quantities import KEPT, show_reading
from app.queries.readings import SPANS, last_of_each
from app.queries.water_charts import water_charts
from app.queries.water_history import Done, done_in, water_history
from app.store.actor import Actor
from app.store.plans import Plan
from app.store.readings import Quantity, Reading
from app.store.session import find
from app.store.tanks import Tank

GONE = 0.01
"""Below this share of what was once there, a medicine is said to be gone (judgement)."""
WITHIN_DAYS = 2
"""A pH and a temperature so near in time to an ammonia test count for it (judgement)."""
TESTED = (Quantity.PH, Quantity.AMMONIA, Quantity.NITRITE)
"""What is tested and not followed."""


@dataclass(frozen=True, slots=True)
class LastTest:
    """What was last read of a quantity, by hand (``mine``) or a logger, and how it stands to the ledger."""

    id: int
    words: str
    ago: str
    expected: str = ""
    apart: str = ""
    trusted: bool = False
    mine: bool = True


@dataclass(frozen=True, slots=True)
class Level:
    """One quantity now; ``known`` is False where the ledger cannot say."""

    name: str
    words: str
    note: str = ""
    known: bool = True
    tests: tuple[LastTest, ...] = ()


@dataclass(frozen=True, slots=True)
class ToDo:
    """Something to do about the water; ``trust`` is the test that the ledger may be told to follow."""

    words: str
    stage: str = "waiting"
    trust: int | None = None


@dataclass(frozen=True, slots=True)
class WaterPage:
    """Everything the page of a tank's water shows."""

    tank_id: int
    name: str
    litres: float
    closed: bool
    levels: tuple[Level, ...]
    ammonia: str
    todo: tuple[ToDo, ...]
    charts: tuple[Chart, ...]
    span: str
    history: tuple[Event, ...]
    more: bool

    @property
    def untouched(self) -> bool:
        """Whether nothing was ever logged about this water."""
        return not self.history


def water_page(
    session: Session, actor: Actor, tank_id: int, *, span: str = "quarter", every: bool = False
) -> WaterPage:
    """Read one tank's water in a fixed number of statements."""
    span = span if span in SPANS else "quarter"
    tank = find(session, Tank, tank_id)
    ledger = tank_ledger(session, actor, tank.id)
    done = done_in(session, actor, tank.id)
    read = last_of_each(session, actor, tank.id, typed=FOLLOWED)
    history, more = water_history(actor, ledger, done, every=every)
    ahead = nitrate_ahead(actor, ledger, tank.feed_g_per_day)
    levels = _levels(actor, ledger, read, ahead)
    return WaterPage(
        tank.id,
        tank.name,
        tank.litres,
        tank.closed_on is not None,
        levels,
        _ammonia({quantity: found[-1] for quantity, found in read.items()}),
        (*_of_courses(session, actor, tank), *_todo(actor, levels, done, ahead)),
        water_charts(actor, ledger, span),
        span,
        history,
        more,
    )


Read = Mapping[Quantity, Sequence[Reading]]


def water_words(session: Session, actor: Actor, tank: Tank) -> tuple[Level, ...]:
    """Return what is known to be in one tank's water now, for a page that only mentions it."""
    ledger = tank_ledger(session, actor, tank.id)
    ahead = nitrate_ahead(actor, ledger, tank.feed_g_per_day)
    levels = _levels(actor, ledger, last_of_each(session, actor, tank.id, typed=FOLLOWED), ahead)
    return tuple(one for one in levels if one.known) if ledger.events else ()


def _levels(actor: Actor, ledger: TankLedger, read: Read, ahead: NitrateAhead) -> tuple[Level, ...]:
    held = [
        _held(actor, ledger, key, quantity, _tests(actor, ledger, key, read.get(quantity, ())))
        for quantity, key in FOLLOWED.items()
        if key is not Held.NITRATE
    ]
    nitrate = _nitrate(ahead, _tests(actor, ledger, Held.NITRATE, read.get(Quantity.NITRATE, ())))
    medicines = [_medicine(actor, ledger, key) for key in ledger.accounts if not isinstance(key, Held)]
    tested = [_tested(actor, quantity, read[quantity][-1]) for quantity in TESTED if quantity in read]
    return (*held, nitrate, *(one for one in medicines if one is not None), *tested)


def _held(
    actor: Actor, ledger: TankLedger, key: Held, quantity: Quantity, tests: tuple[LastTest, ...]
) -> Level:
    level = ledger.level(key, actor.now)
    name = KEPT[quantity].title if key is not Held.SALT else "Salt"
    if level is None:
        return Level(name, "not known", _lost(actor, ledger, key), known=False, tests=tests)
    if key is Held.SALT and not ledger.salted:
        return Level(name, "none", "as far as is logged", tests=tests)
    return Level(name, show_held(key, level), tests=tests)


def _nitrate(ahead: NitrateAhead, tests: tuple[LastTest, ...]) -> Level:
    """Return what tests, food and changes make of it by today."""
    if ahead.outlook is None:
        return Level("Nitrate", "not known", "" if tests else "never tested", known=False, tests=tests)
    return Level("Nitrate", f"about {ahead.outlook.today_mg_per_l:.0f} mg/L", tests=tests)


def _lost(actor: Actor, ledger: TankLedger, key: Key) -> str:
    since = ledger.accounts[key].unknown_since
    if since is None:
        return "never told or tested"
    return f"since {distance_words(actor.day(since), actor.today)}: water or a dose of unknown value"


def _medicine(actor: Actor, ledger: TankLedger, key: Key) -> Level | None:
    assert not isinstance(key, Held)  # noqa: S101 - only substances come here
    level, substance = ledger.level(key, actor.now), ledger.substances[key]
    most = max((point.after or 0.0 for point in ledger.accounts[key].points), default=0.0)
    if level is None or level < GONE * most or level == 0:
        return None
    half = f"half gone in {day_count(substance.half_life_days)}" if substance.half_life_days else ""
    return Level(substance.name, show_level(level, substance.measure), half)


def _tested(actor: Actor, quantity: Quantity, test: Reading) -> Level:
    shown = show_reading(quantity, test.value, actor.units)
    on = actor.day(test.taken_at)
    return Level(KEPT[quantity].title, shown, f"tested {distance_words(on, actor.today)}")


def _tests(actor: Actor, ledger: TankLedger, key: Held, read: Sequence[Reading]) -> tuple[LastTest, ...]:
    return tuple(_test(actor, ledger, key, one) for one in read)


def _test(actor: Actor, ledger: TankLedger, key: Held, test: Reading) -> LastTest:
    expected = _expected(ledger, key, test)
    on = actor.day(test.taken_at)
    apart = "" if test.trusted else disagreement(key, test.value, expected)
    return LastTest(
        test.id,
        show_held(key, test.value),
        distance_words(on, actor.today),
        "" if expected is None or key is Held.NITRATE else show_held(key, expected),
        apart,
        test.trusted,
        test.logger_id is None,
    )


def _expected(ledger: TankLedger, key: Held, test: Reading) -> float | None:
    """Return what the ledger said just before a test."""
    for event, point in zip(ledger.events, ledger.accounts[key].points, strict=True):
        if isinstance(event, Measured) and event.ref == test.id:
            return point.before
    return ledger.level(key, test.taken_at)


def _ammonia(last: dict[Quantity, Reading]) -> str:
    """Say how much of the ammonia is poisonous, where pH and temperature were read near it."""
    total = last.get(Quantity.AMMONIA)
    if total is None or total.value == 0:
        return ""
    near = [last.get(Quantity.PH), last.get(Quantity.TEMPERATURE)]
    if any(one is None or abs((one.taken_at - total.taken_at).days) > WITHIN_DAYS for one in near):
        return "How much of the ammonia is poisonous depends on pH and temperature: test them with it."
    ph, warm = (one.value if one is not None else 0.0 for one in near)
    poison = unionised_n(total.value, min(max(ph, 4.0), 11.0), warm)
    return f"Of the ammonia, {milligrams(as_nh3(poison))} is un-ionised, as NH₃. {meaning(poison)}"


def _todo(actor: Actor, levels: Sequence[Level], done: Done, ahead: NitrateAhead) -> tuple[ToDo, ...]:
    found = [
        ToDo(
            f"{one.name}{'' if test.mine else ' by the logger'}: {test.apart}",
            "care",
            test.id if test.mine else None,
        )
        for one in levels
        for test in one.tests
        if test.apart
    ]
    missing = [one.name for one in levels if not one.known and one.name != "Nitrate"]
    touched = bool(done.doses or done.changes or done.tests)
    if missing and touched:
        found.append(ToDo(f"Test {listed(missing)}, and from then on the ledger knows."))
    if touched:
        found.extend(_nitrate_due(actor, ahead))
    return tuple(found)


def _of_courses(session: Session, actor: Actor, tank: Tank) -> tuple[ToDo, ...]:
    """Return what the courses that run in a tank lack, or have too much of."""
    running = plans_shown(session, actor, Plan.tank_id == tank.id, Plan.ended_on.is_(None))
    off = off_course(session, actor, running)
    lacking = (f"{lack.title}: {lack.words}" for lack in off.lacks)
    return tuple(ToDo(f"{words}.", "due") for words in (*lacking, *off.over))


def _nitrate_due(actor: Actor, ahead: NitrateAhead) -> list[ToDo]:
    said = ahead.outlook
    if said is None:
        return [ToDo(ahead.missing)]
    if said.today_mg_per_l >= CEILING_MG_PER_L:
        return [ToDo(f"Nitrate stands at about {said.today_mg_per_l:.0f} mg/L: change water.", "due")]
    if said.reaches is None:
        return []
    when = window_words(said.reaches, actor.today)
    return [ToDo(f"Nitrate reaches {CEILING_MG_PER_L:g} mg/L {when} without a change, in 8 of 10 cases.")]

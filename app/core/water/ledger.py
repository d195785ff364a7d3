"""What is in a tank's water after every dose, change, top-up and test, and what is not known any more."""

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.mixing import Part, blended

DAY_S = 86_400.0
MOST_UNKNOWN = 0.01
"""Up to this share of water of unknown value, a level counts as known (judgement)."""

METHOD = Method(
    "ledger",
    "The tank ledger",
    (
        "Everything poured in and taken out is followed: what is dissolved is never lost, only carried.",
        "Levels are those at the tank's full mark, well mixed; a change is taken to begin and end there.",
        "What evaporates leaves everything dissolved behind; a top-up brings what its own water holds.",
        "Water whose value was never told makes that level unknown, until a test or enough known water.",
        "A medicine with a half-life fades by it; without one it stays until changes carry it out.",
    ),
    (
        "dose: c' = c + m/V",
        "change: c' = c·(1 − v/V) + c_new·v/V",
        "top-up: c' = c + c_new·v/V",
        "half-life: c' = c·2^(−t/T)",
    ),
    (
        "mass balance of a well-mixed tank",
        "checked against a simulation that carries parcels of water",
    ),
    "Gravel, wood, filter media and plants bind or give off some substances. A test beats the ledger.",
)


class Held(StrEnum):
    """What every water holds; the unit stands beside it."""

    SALT = "salt"  # g/L
    GH = "GH"  # °dH
    KH = "KH"  # °dH
    NITRATE = "nitrate"  # mg/L as NO3


Key = Held | int
"""What is followed: something every water holds, or one substance by its number."""

Contents = Mapping[Held, float | None]
"""What a litre of some water holds; None, or left out, where nobody measured it."""


@dataclass(frozen=True, slots=True)
class Dosed:
    """What the whole tank gains, each in level times litres (g, °dH·L …); None where no label tells."""

    at: datetime
    gains: Mapping[Key, float | None]
    ref: int = 0


@dataclass(frozen=True, slots=True)
class Changed:
    """Litres taken out at the full mark, and as many of another water put in."""

    at: datetime
    litres: float
    water: Contents
    ref: int = 0


@dataclass(frozen=True, slots=True)
class ToppedUp:
    """Litres put in for what evaporated; nothing else went out."""

    at: datetime
    litres: float
    water: Contents
    ref: int = 0


@dataclass(frozen=True, slots=True)
class Measured:
    """A measured level; where it is ``trusted`` the ledger goes on from it."""

    at: datetime
    key: Key
    level: float
    trusted: bool = False
    ref: int = 0


Event = Measured | Changed | ToppedUp | Dosed
"""What can be done to a tank's water; ``ref`` is the caller's own number for it."""
TURN = (Measured, Changed, ToppedUp, Dosed)
"""Who comes first at one moment: a test is read before the change, a dose follows it."""


@dataclass(frozen=True, slots=True)
class Point:
    """The level just before and just after one event; None where it is not known."""

    at: datetime
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Account:
    """One quantity of one tank through time, from ``start`` on.

    ``unknown_since`` is the moment the level was lost, or None while it is known or was never known.
    """

    key: Key
    start: float | None
    points: tuple[Point, ...]
    unknown_since: datetime | None = None
    half_life_days: float | None = None

    def at(self, moment: datetime) -> float | None:
        """Level at a moment, after everything that happened until then."""
        place = bisect_right(self.points, moment, key=lambda point: point.at)
        if place == 0:
            return self.start
        last = self.points[place - 1]
        return faded(last.after, last.at, moment, self.half_life_days)


def account(
    key: Key,
    litres: float,
    events: Iterable[Event],
    *,
    start: float | None = None,
    half_life_days: float | None = None,
    follow_tests: bool = False,
) -> Account:
    """Follow one quantity through everything that was done to a tank's water.

    Parameters
    ----------
    key : Key
        What is followed.
    litres : float
        Water at the full mark, above 0.
    events : Iterable[Event]
        In any order; those of one moment count as test, change, top-up, dose.
    start : float, optional
        Level before the first event; None where it is not known.
    half_life_days : float, optional
        Time in which half of it is gone by itself.
    follow_tests : bool
        Whether every test sets the level, as for what fish and filters make or use up.

    Raises
    ------
    Problem
        If more water is moved than there is, or an amount is below zero.

    References
    ----------
    Mass balance of a well-mixed tank.
    """
    _check(litres, start, half_life_days)
    state = _State(litres, start or 0.0, 0.0 if start is not None else 1.0)
    points: list[Point] = []
    since: datetime | None = None
    last: datetime | None = None
    for event in in_order(events):
        state.known = faded(state.known, last or event.at, event.at, half_life_days) or 0.0
        last, before = event.at, state.level
        _meet(state, key, event, follow_tests=follow_tests)
        if state.level is not None:
            since = None
        elif before is not None:
            since = event.at
        points.append(Point(event.at, before, state.level))
    return Account(key, start, tuple(points), since, half_life_days)


def in_order(events: Iterable[Event]) -> list[Event]:
    """Events by time; those of one moment as test, change, top-up, dose.

    Parameters
    ----------
    events : Iterable[Event]
        In any order.
    """
    return sorted(events, key=lambda event: (event.at, TURN.index(type(event))))


def blend(parts: Sequence[tuple[float, Contents]]) -> Contents:
    """Mean by volume of waters poured together; None where one of them is not known.

    Parameters
    ----------
    parts : Sequence[tuple[float, Contents]]
        Litres and contents; none means a water nobody told, so nothing is known of it.

    Raises
    ------
    Problem
        If a volume is below zero, or all are zero.
    """
    return {held: _blended(held, parts) for held in Held}


def faded(
    level: float | None, since: datetime, until: datetime, half_life_days: float | None
) -> float | None:
    """Level after some time, ``c·2^(−t/T)``; without a half-life it stays.

    Parameters
    ----------
    level : float, optional
        At ``since``.
    since, until : datetime
        In this order.
    half_life_days : float, optional
        Above 0.
    """
    if level is None or half_life_days is None:
        return level
    days = (until - since).total_seconds() / DAY_S
    return level * float(2.0 ** (-days / half_life_days))


@dataclass(slots=True)
class _State:
    """What is known to be in a litre, and the share of the water of which nothing is known."""

    litres: float
    known: float
    unknown: float

    @property
    def level(self) -> float | None:
        if self.unknown > MOST_UNKNOWN:
            return None
        return self.known / (1.0 - self.unknown)

    def lose(self, litres: float) -> None:
        keep = 1.0 - litres / self.litres
        self.known, self.unknown = self.known * keep, self.unknown * keep

    def gain(self, litres: float, level: float | None) -> None:
        share = litres / self.litres
        if level is None:
            self.unknown = min(1.0, self.unknown + share)
        else:
            self.known += level * share


def _meet(state: _State, key: Key, event: Event, *, follow_tests: bool) -> None:
    match event:
        case Measured(key=tested, level=level, trusted=trusted):
            if tested == key and (trusted or follow_tests or state.level is None):
                state.known, state.unknown = level, 0.0
        case Changed(litres=litres, water=water):
            state.lose(_moved(litres, state.litres))
            state.gain(litres, _in(water, key))
        case ToppedUp(litres=litres, water=water):
            state.gain(_moved(litres, state.litres), _in(water, key))
        case Dosed(gains=gains):
            _dose(state, gains.get(key, 0.0))


def _dose(state: _State, gain: float | None) -> None:
    if gain is None:
        state.unknown = 1.0
        return
    if not gain >= 0:
        raise Problem(f"{gain:g} is below zero; give what was added", "amount")
    state.known += gain / state.litres


def _in(water: Contents, key: Key) -> float | None:
    """Return what a water holds; no water from the tap holds a medicine."""
    return water.get(key) if isinstance(key, Held) else 0.0


def _moved(litres: float, of: float) -> float:
    if not 0 <= litres <= of * (1 + 1e-9):
        raise Problem(f"{litres:g} L cannot be taken from {of:g} L; give less", "litres")
    return min(litres, of)


def _blended(held: Held, parts: Sequence[tuple[float, Contents]]) -> float | None:
    told = [(litres, water.get(held)) for litres, water in parts]
    known = [Part(litres, value) for litres, value in told if value is not None]
    return blended(known) if known and len(known) == len(told) else None


def _check(litres: float, start: float | None, half_life_days: float | None) -> None:
    if not litres > 0:
        raise Problem(f"{litres:g} L is no tank; give litres above 0", "litres")
    if start is not None and not start >= 0:
        raise Problem(f"{start:g} is below zero; give 0 or more", "start")
    if half_life_days is not None and not half_life_days > 0:
        raise Problem(f"a half-life of {half_life_days:g} days cannot be; give more than 0", "half_life_days")

"""Windows kept to their word in every way a wait can begin: exposed, bought, goodeid, drop between dates."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np
import pytest

from app.core.births import Arrived, BirthEvidence, Exposed, LastDrop, Start, forecast_birth
from app.core.births.fertility import ARRIVED, WITH_MALES, mated
from app.core.stats.distributions import randomised
from app.core.thermal import TemperatureLog
from tests.core.births.simulated import MOST_DAYS, START, Room

pytestmark = pytest.mark.slow
DAMS = 2_500


class Wait(NamedTuple):
    """How a wait began: what is known, the moment it truly began, and its true length in thermal days."""

    start: Start
    begun: float
    days: float
    virgin: bool = False
    chance: float = WITH_MALES


def day(number: float) -> date:
    return START + timedelta(int(number))


def cycle(room: Room) -> float:
    """Draw one interval of a new dam of the room, in thermal days, one in fifty of them doubled."""
    sp, rng = room.species, room.rng
    habit = sp.interval_days + room.strain + rng.normal(0, sp.interval_sd_dam or 0)
    return float((habit + rng.normal(0, sp.interval_sd_within)) * (2 if rng.random() < 0.02 else 1))


def virgin(room: Room, on: float) -> Wait:
    """Return a virgin exposed for some days, whose first brood takes longer than an interval."""
    sp, stayed = room.species, int(room.rng.integers(0, 12))
    start = Exposed(day(on), day(on + stayed) if stayed < 10 else None)
    first = room.rng.normal(sp.first_brood_days, sp.first_brood_sd)
    return Wait(start, on, float(first), virgin=True, chance=WITH_MALES * mated(start))


def bought(room: Room, on: float) -> Wait:
    """Return a bought dam, met in an interval with chance in proportion to its length, anywhere in it."""
    while room.rng.random() > (whole := cycle(room)) / 100:
        pass
    seller = (True, None, False)[int(room.rng.integers(0, 3))]
    return Wait(Arrived(day(on), seller), on, float(room.rng.random() * whole), chance=ARRIVED[seller])


def goodeid(room: Room, on: float) -> Wait:
    """Return a goodeid whose clock starts with the male, whatever came before."""
    return Wait(Exposed(day(on)), on, cycle(room))


def between(room: Room, on: float) -> Wait:
    """Return a dam whose last drop came on one of up to ten days."""
    span = int(room.rng.integers(0, 10))
    return Wait(LastDrop(day(on), day(on + span)), int(on) + room.rng.random() * (span + 1), cycle(room))


class Case(NamedTuple):
    """One dam: her evidence today, whether she carries, and the day of her drop if she does."""

    told: BirthEvidence
    carries: bool
    outcome: date


def case(rng: np.random.Generator, key: str, begin: Callable[[Room, float], Wait]) -> Case | None:
    """Draw a dam in a wandering tank and look at her on some later day; None once she has dropped."""
    room = Room.drawn(rng, key)
    celsius, on = room.tank(), float(rng.uniform(60, 100))
    wait = begin(room, on)
    clock = np.concatenate([[0], np.cumsum(np.exp(room.ln_q10 * (celsius - 25) / 10))])
    passed = np.interp(wait.begun, np.arange(clock.size), clock) + wait.days
    drop = day(np.interp(passed, clock, np.arange(clock.size)))
    soonest = 0 if isinstance(wait.start, Arrived) else 12
    known = int(on) + int(rng.integers(soonest, soonest + int(1.3 * room.species.interval_days)))
    carries = bool(rng.random() < wait.chance)
    if carries and drop < day(known):
        return None
    readings = tuple((day(d), float(celsius[d])) for d in range(known % 3, min(known, MOST_DAYS) + 1, 3))
    log = TemperatureLog.of(readings)
    told = BirthEvidence(room.species, day(known), wait.start, virgin=wait.virgin, temperature=log)
    return Case(told, carries, drop)


CASES: dict[str, tuple[str, Callable[[Room, float], Wait]]] = {
    "a virgin": ("guppy", virgin),
    "bought": ("southern_platy", bought),
    "a goodeid": ("redtail_goodeid", goodeid),
    "a drop between dates": ("guppy", between),
}


def drawn(name: str, seed: int, count: int = DAMS) -> list[Case]:
    rng = np.random.default_rng(seed)
    found = [case(rng, *CASES[name]) for _ in range(count)]
    return [one for one in found if one is not None]


@pytest.mark.parametrize("name", CASES)
def test_windows_hold_four_in_five_however_the_wait_began(name: str) -> None:
    rng, values = np.random.default_rng(21), []
    for told, carries, outcome in drawn(name, seed=20):
        found = forecast_birth(told)
        if carries and found.cdf:
            cdf = dict(found.cdf)
            beyond = 1.0 if outcome > found.cdf[-1][0] else 0.0
            step = cdf.get(outcome - timedelta(1), beyond), cdf.get(outcome, beyond)
            values.append(randomised(*step, rng.random()))
    held = np.abs(np.array(values) - 0.5) <= 0.4
    assert len(values) > 500
    assert 0.77 <= held.mean() <= 0.83
    assert np.mean(np.array(values) < 0.5) == pytest.approx(0.5, abs=0.05)


def test_the_chance_of_carrying_is_calibrated_however_the_wait_began() -> None:
    cases = [one for name in CASES for one in drawn(name, seed=22, count=2_000)]
    chance = np.array([forecast_birth(one.told).p_carrying for one in cases])
    carries = np.array([one.carries for one in cases], dtype=float)
    bins = np.minimum((10 * chance).astype(int), 9)
    for number in range(10):
        of = bins == number
        slack = 3.5 * (chance[of].mean() * (1 - chance[of].mean()) / of.sum()) ** 0.5 + 0.02
        assert of.sum() > 20
        assert carries[of].mean() == pytest.approx(chance[of].mean(), abs=slack), number

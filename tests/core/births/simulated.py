"""Simulated dams whose truth is known: hidden habits, wandering tanks, skipped cycles."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from app.core.births import BirthEvidence, LastDrop, OwnInterval
from app.core.species import Species, species
from app.core.thermal import LN_Q10, LN_Q10_SD, TemperatureLog

START = date(2026, 1, 1)
MOST_DAYS = 900


@dataclass(frozen=True, slots=True)
class Simulated:
    """One dam's evidence on the day of her last drop, and the day her next one falls."""

    evidence: BirthEvidence
    outcome: date

    @property
    def days(self) -> int:
        """The interval that was to be forecast."""
        return (self.outcome - self.evidence.today).days


@dataclass(frozen=True, slots=True)
class Room:
    """A keeper's room: tanks that wander about a set point, and what the fish really do.

    The truth has the variances of the species table: strain between rooms, dam between dams, within
    between cycles (independent noise, not the filter's), drift by brood number, 2 % doubled.
    """

    rng: np.random.Generator
    species: Species
    ln_q10: float
    strain: float

    @classmethod
    def drawn(cls, rng: np.random.Generator, key: str) -> "Room":
        """Draw a room with its own strain and its own true law of temperature."""
        sp = species(key)
        strain = rng.normal(0, sp.interval_sd_strain or 0)
        return cls(rng, sp, rng.normal(LN_Q10, LN_Q10_SD), strain)

    def tank(self) -> np.ndarray:
        """Draw daily temperatures: a set point, and a slow wandering about it."""
        wander = np.zeros(MOST_DAYS)
        steps = self.rng.normal(0, 0.25, MOST_DAYS)
        for i in range(1, MOST_DAYS):
            wander[i] = 0.93 * wander[i - 1] + steps[i]
        return np.clip(self.rng.uniform(23, 27.5) + wander, 18.5, 30.5)

    def drops(self, celsius: np.ndarray, count: int) -> list[int]:
        """Return the days of ``count`` drops of a new dam."""
        clock = np.concatenate([[0], np.cumsum(np.exp(self.ln_q10 * (celsius - 25) / 10))])
        habit = (
            self.species.interval_days + self.strain + self.rng.normal(0, self.species.interval_sd_dam or 0)
        )
        at = self.rng.uniform(0, 5)
        found = [at]
        for number in range(1, count):
            longer = 0.25 / 26 * self.species.interval_days * (min(number, 12) - 4)
            wait = habit + longer + self.rng.normal(0, self.species.interval_sd_within)
            wait *= 2 if self.rng.random() < 0.02 else 1
            at = float(
                np.interp(np.interp(at, np.arange(clock.size), clock) + wait, clock, np.arange(clock.size))
            )
            found.append(at)
        return [int(day) for day in found]


def dams(seed: int, rooms: int, per_room: int = 3, key: str = "guppy") -> Iterator[Simulated]:
    """Yield dams with none to seven known intervals, readings every third day, and sisters."""
    rng = np.random.default_rng(seed)
    for _ in range(rooms):
        room = Room.drawn(rng, key)
        celsius = room.tank()
        known = [int(rng.integers(0, 8)) for _ in range(per_room)]
        days = [room.drops(celsius, n + 2) for n in known]
        for mine, own in enumerate(days):
            kin = tuple(_history(d[:-1], celsius) for i, d in enumerate(days) if i != mine)
            yield _simulated(room.species, own, celsius, kin)


def _simulated(
    sp: Species, own: list[int], celsius: np.ndarray, kin: tuple[tuple[OwnInterval, ...], ...]
) -> Simulated:
    today = own[-2]
    readings = tuple((START + timedelta(d), float(celsius[d])) for d in range(today % 3, today + 1, 3))
    last = START + timedelta(today)
    told = BirthEvidence(
        sp, last, LastDrop(last, last),
        history=_history(own[:-1], celsius), kin_history=kin,
        temperature=TemperatureLog.of(readings), brood_number=len(own),
    )  # fmt: skip
    return Simulated(told, START + timedelta(own[-1]))


def _history(days: list[int], celsius: np.ndarray) -> tuple[OwnInterval, ...]:
    return tuple(OwnInterval(b - a, b - a, round(float(celsius[a:b].mean()), 1)) for a, b in pairwise(days))


def later(one: Simulated, today: date) -> BirthEvidence:
    """Return the same dam's evidence on a later day without a drop."""
    return replace(one.evidence, today=today)

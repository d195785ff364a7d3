"""The interval models on published guppies, and on populations with their published variances.

Reznick et al. (2004), Nature 431:1095, high food, 26 °C: ages at birth of four females as printed in
the individual records. All records (210 females, four populations, two foods) were read outside this
project and carry no licence to be shipped. What they gave, mean absolute error in days, one interval
ahead, three or more of her own known, no sisters, skipped cycles not scored; in brackets the first
eight intervals only:

- this model 1.59 (1.71); with eight intervals of three sisters 1.58 (1.69)
- smoothing, gain 0.45: as it comes 2.14 (2.05); leaving out gaps over 1.5 of its level 1.68 (1.79)
- always the species' interval brought to 26 °C (25.0 days) 4.28 (3.36); always 26 days 3.67 (2.98);
  28 days, the best of all whole numbers in hindsight, 3.01 (2.94); 30 days 3.24 (3.71)
- a local level fitted to these very records by maximum likelihood 1.59 (1.72)

So the model is at 0.43 (0.57) of always 26 days, and 0.53 (0.58) of always 28. Half of the rule is
reached over whole lives; over the first eight intervals the fitted model shows that her own chance
leaves no room for it. By halves of the females (every other one): 1.55 and 1.63, smoothing 1.67 and
1.70. 80 % windows hold 82 % of the first eight and 84 % of all by the cdf.

Here the same is repeated on the four females and on populations drawn from the published variance
components (by population: mean, SD between and within females, drift of 0.24 to 0.26 days a brood).
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import timedelta

import numpy as np
import pytest

from app.core.births import forecast_birth
from app.core.species import species
from app.core.thermal import clock_rate_at
from tests.core.births.build import MAY, dropped, intervals

AGES = {
    "HPO-1224": (68, 94, 121, 145, 169, 194, 221, 248, 275, 301, 329, 357, 386, 415),
    "HPO-1244": (75, 102, 129, 156, 186, 218, 250, 281, 310, 337, 365, 394, 422, 452),
    "HPO-1250": (71, 101, 127, 156, 187, 220, 252, 283, 311, 340, 368, 397, 426, 456),
    "LPO-3242": (80, 111, 138, 167, 195, 223, 253, 282, 314, 342, 372),  # then a pause of 259 days
}
INTERVALS = {name: tuple(int(d) for d in np.diff(ages)) for name, ages in AGES.items()}
# mean, SD within, SD between females: high and low food of four populations
POPULATIONS = (
    (26.4, 1.9, 2.2), (24.3, 1.6, 1.9), (28.5, 2.2, 2.1), (27.9, 2.3, 1.9),
    (26.8, 2.0, 2.0), (25.2, 2.0, 2.1), (29.3, 2.4, 1.8), (29.4, 2.5, 2.1),
)  # fmt: skip
Rule = Callable[[Sequence[int]], float]


def ours(known: Sequence[int]) -> float:
    """Return the median of the forecast, days after the last drop."""
    found = forecast_birth(dropped(at=26, history=intervals(*known, at=26)))
    assert found.median is not None
    return (found.median - MAY).days


def smoothing(known: Sequence[int]) -> float:
    """Return exponential smoothing with gain 0.45, started at the mean of the populations."""
    level = 26.7
    for days in known:
        level += 0.45 * (days - level)
    return level


def fixed(known: Sequence[int]) -> float:
    """Return the rule of thumb: always the species' interval, brought to 26 °C (25.0 days)."""
    return species("guppy").interval_days / clock_rate_at(26)


def error(rule: Rule, females: Sequence[Sequence[int]], known: int = 3) -> float:
    """Return the mean absolute error one ahead, ``known`` or more known, skipped cycles not scored."""
    misses = [
        abs(rule(own[:n]) - own[n])
        for own in females
        for n in range(known, len(own))
        if own[n] < 1.5 * float(np.median(own))
    ]
    return float(np.mean(misses))


def population(seed: int, count: int) -> Iterator[tuple[int, ...]]:
    """Draw females with eight intervals each, by the published variance components."""
    rng = np.random.default_rng(seed)
    for i in range(count):
        mean, within, between = POPULATIONS[i % len(POPULATIONS)]
        slope = rng.normal(0.26, 0.28)
        around = np.arange(8) - 4.5  # the means are over ten intervals
        # the slope's share of the published SD within ten intervals is taken out of the noise
        noise = max(within**2 - (0.26**2 + 0.28**2) * 8.25, 1.0) ** 0.5
        days = rng.normal(mean, between) + slope * around + rng.normal(0, noise, 8)
        days *= np.where(rng.random(8) < 0.017, 2, 1)
        yield tuple(int(d) for d in days.round().clip(10))


def lives(seed: int, count: int) -> Iterator[tuple[int, ...]]:
    """Draw females with 22 intervals each, as the records' whole lives have on average.

    Components as fitted to the records by maximum likelihood: chance of one interval 2.0 days, moves
    of the level 0.63, drift 0.24 a brood; the published means lie at the middle of the first ten.
    """
    rng = np.random.default_rng(seed)
    for i in range(count):
        mean, _, between = POPULATIONS[i % len(POPULATIONS)]
        level = rng.normal(mean, between) + 0.24 * (np.arange(22) - 4.5) + np.cumsum(rng.normal(0, 0.63, 22))
        days = level + rng.normal(0, 2.0, 22)
        days *= np.where(rng.random(22) < 0.018, 2, 1)
        yield tuple(int(d) for d in days.round().clip(10))


def test_published_females_are_forecast_far_better_than_by_the_rule() -> None:
    # these four wander smoothly, which suits smoothing (1.41 days against 1.51); the difference is
    # 0.1 ± 0.13 days on 37 intervals, and on all records the model is 0.1 ± 0.014 better
    females = list(INTERVALS.values())
    assert error(ours, females) < 0.45 * error(fixed, females)
    assert error(ours, females) < 1.55
    assert error(ours, females) < error(smoothing, females) + 0.15


@pytest.mark.parametrize("name", AGES)
def test_published_births_fall_into_their_windows(name: str) -> None:
    own = INTERVALS[name]
    held = 0
    for n in range(len(own)):
        found = forecast_birth(dropped(at=26, history=intervals(*own[:n], at=26)))
        assert found.window_80 is not None
        held += found.window_80.holds(MAY + timedelta(own[n]))
    assert held >= 0.7 * len(own)


@pytest.mark.slow
def test_a_published_population_is_forecast_better_than_by_smoothing_or_rule() -> None:
    females = list(population(2004, 206))
    mine, smooth, rule = (error(one, females) for one in (ours, smoothing, fixed))
    assert mine <= smooth
    assert mine < 0.6 * rule
    assert 1.2 < mine < 1.9


@pytest.mark.slow
def test_whole_lives_are_forecast_within_half_of_the_rule() -> None:
    females = list(lives(2006, 100))
    mine, smooth, rule = (error(one, females) for one in (ours, smoothing, lambda _: 26.0))
    assert mine <= smooth
    assert mine < 0.5 * rule
    assert 1.6 < mine < 2.0  # the chance of one interval alone is 1.6

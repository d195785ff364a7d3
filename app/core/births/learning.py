"""How long this dam's next interval should be: species, then fishroom, then line, then the dam."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp
from typing import NamedTuple

from app.core.births.evidence import BirthEvidence, DamHistory, LineHistory, OwnInterval
from app.core.species import Species
from app.core.stats.pairs import Pair
from app.core.thermal import LN_Q10, LN_Q10_SD, warmth

SKIP = 0.02  # per cycle; 1.7 % of guppy intervals exceed 1.5 own medians (Reznick et al. 2004)
MISSED = 1.5  # from this many expected intervals on (and 3 SD), a drop was missed or a cycle skipped
MOST_CYCLES = 3  # longer gaps are a pause
DRIFT = 0.25 / 26  # of the interval, per brood: +0.26 d in guppies (Reznick et al. 2004)
DRIFT_ENDS = 12  # broods
CENTRE = 4  # the species mean belongs to about the fourth interval
# Shares of the within-dam SD: chance of one cycle, and the habit moving on. Set on the records of
# Reznick et al. (2004), first eight intervals, one ahead with three or more known, skips aside: the
# median misses by 1.74 days, exponential smoothing (gain 0.45) by 1.87, a fixed 26 days by 2.89;
# 80 % windows hold 84 % there, 83 % with skipped cycles counted.
NOISE, STEP = 0.94, 0.3
UNKNOWN_C = 1.5  # SD of the tank's mean temperature when nobody measured it; judgement
_LINE_SHARE = 0.5  # of the strain variance; the rest is the fishroom's; judgement


@dataclass(frozen=True, slots=True)
class Learned:
    """The next interval in thermal days (at 25 °C) as believed now.

    ``belief`` holds her present level (a) and the error of ln Q10 (b); ``noise`` and ``step`` are
    variances of one cycle's chance and of the level's move from brood to brood. The weights add
    up to 1: what her own, her line's and the fishroom's intervals and the table contribute.
    """

    belief: Pair
    noise: float
    step: float
    scale: float
    weight_own: float
    weight_line: float
    weight_fishroom: float
    missed: int

    def at(self, temperature_c: float) -> tuple[float, float]:
        """Return mean and variance of her level at a temperature, in nominal thermal days."""
        return self.belief.sum(-self.scale * warmth(temperature_c))


class _Seen(NamedTuple):
    """One interval in nominal thermal days, with its warmth and the variance of its dates."""

    days: float
    warmth: float
    variance: float
    cycles: int = 1


def drift(species: Species, number: int | None) -> float:
    """Return how much longer the interval of that number is than the dam's mean, thermal days.

    0.25 d a brood up to the twelfth for a 26-day interval, 0 at the fourth or when unknown.

    References
    ----------
    Reznick et al. (2004), Nature 431:1095, individual records: +0.26 d per brood, SD 0.28.
    """
    if number is None:
        return 0.0
    return DRIFT * species.interval_days * (min(number, DRIFT_ENDS) - CENTRE)


def learn(told: BirthEvidence) -> Learned:
    """Pool the evidence on the interval in closed form.

    fishroom ~ N(species, strain²/2), line ~ N(fishroom, strain²/2), dam ~ N(line, dam²), and her own
    intervals through a local level filter with drift: level moves on by N(drift, step), interval
    = level + N(0, noise). All in thermal days, with the error of ln Q10 carried along.
    """
    sp = told.species
    strain = (sp.interval_sd_strain or 0.15 * sp.interval_days) ** 2
    unknown_c = 0.0 if told.temperature else (LN_Q10 / 10 * UNKNOWN_C * sp.interval_days) ** 2
    belief = Pair(sp.interval_days, 0.0, strain * (1 - _LINE_SHARE) + unknown_c, LN_Q10_SD**2)
    belief, fishroom = _from_fishroom(belief, told, strain * _LINE_SHARE)
    belief, line = _from_line(belief.moved(0, strain * _LINE_SHARE), told)
    belief, own, missed = _from_own(belief.moved(0, _sd_dam(sp) ** 2), told)
    within = sp.interval_sd_within**2
    return Learned(
        belief=belief,
        noise=NOISE**2 * within,
        step=STEP**2 * within,
        scale=sp.interval_days,
        weight_own=own,
        weight_line=(1 - own) * line,
        weight_fishroom=(1 - own) * (1 - line) * fishroom,
        missed=missed,
    )


def _sd_dam(sp: Species) -> float:
    return sp.interval_sd_dam or 0.1 * sp.interval_days


def _from_fishroom(belief: Pair, told: BirthEvidence, line_variance: float) -> tuple[Pair, float]:
    """Learn the fishroom's level from the means of its other lines."""
    left = 1.0
    for line in told.fishroom_history:
        dams = list(_dam_means(line, told))
        if dams:
            mean = _pooled(dams)
            belief, gain = belief.learn(
                mean.days, -told.species.interval_days * mean.warmth, mean.variance + line_variance
            )
            left *= 1 - gain
    return belief, 1 - left


def _from_line(belief: Pair, told: BirthEvidence) -> tuple[Pair, float]:
    """Learn the line's level from the means of her sisters and other dams of the line."""
    left = 1.0
    for mean in _dam_means(told.kin_history, told):
        belief, gain = belief.learn(mean.days, -told.species.interval_days * mean.warmth, mean.variance)
        left *= 1 - gain
    return belief, 1 - left


def _from_own(belief: Pair, told: BirthEvidence) -> tuple[Pair, float, int]:
    """Filter the dam's own intervals; the recent ones weigh more."""
    sp, within = told.species, told.species.interval_sd_within**2
    running = told.interval_number
    first = None if running is None else max(running - len(told.history), 1)
    belief = belief.moved(drift(sp, first), 0)
    left, missed = 1.0, 0
    for number, interval in enumerate(told.history, start=first or 1):
        seen = _one_cycle(interval, belief.a, told)
        missed += seen.cycles > 1
        if seen.cycles <= MOST_CYCLES:
            noise = NOISE**2 * within + seen.variance
            belief, gain = belief.learn(seen.days, -sp.interval_days * seen.warmth, noise)
            left *= 1 - gain
        belief = belief.moved(drift(sp, number + 1) - drift(sp, number), STEP**2 * within)
    return belief, 1 - left, missed


def _dam_means(line: LineHistory, told: BirthEvidence) -> Iterable[_Seen]:
    """Yield each dam's mean interval, free of drift, as evidence on her line's level."""
    for dam in line:
        expected = _usual(dam, told.species)
        seen = [_one_cycle(interval, expected, told) for interval in dam]
        if mean := _dam_mean(seen, told.species):
            yield mean


def _usual(dam: DamHistory, sp: Species) -> float:
    """Return what one cycle of that dam should take: her median, from three intervals on."""
    if len(dam) < 3:
        return sp.interval_days
    return max(sorted(i.middle for i in dam)[(len(dam) - 1) // 2], 0.7 * sp.interval_days)


def _dam_mean(seen: Sequence[_Seen], sp: Species) -> _Seen | None:
    n, days, warm, variance = 0, 0.0, 0.0, 0.0
    for number, one in enumerate(seen, start=1):
        if one.cycles <= MOST_CYCLES:
            n += 1
            days += one.days - drift(sp, number)
            warm += one.warmth
            variance += one.variance
    if not n:
        return None
    chance = (sp.interval_sd_within**2 + variance / n) / n
    return _Seen(days / n, warm / n, _sd_dam(sp) ** 2 + chance)


def _pooled(dams: Sequence[_Seen]) -> _Seen:
    weights = [1 / dam.variance for dam in dams]
    total = sum(weights)
    return _Seen(
        sum(w * dam.days for w, dam in zip(weights, dams, strict=True)) / total,
        sum(w * dam.warmth for w, dam in zip(weights, dams, strict=True)) / total,
        1 / total,
    )


def _one_cycle(interval: OwnInterval, expected: float, told: BirthEvidence) -> _Seen:
    """Read an interval as thermal days of one cycle, with the number of cycles it held.

    Two or three expected intervals count as cycles between which a drop was skipped or missed;
    a longer gap is a pause and tells nothing.
    """
    celsius = interval.mean_temp_c
    warm, factor = _clock_at(told.usual_c if celsius is None else celsius)
    days = (interval.days_low + interval.days_high) / 2 * factor
    if days < MISSED * expected or days < expected + 3 * told.species.interval_sd_within:
        return _Seen(days, warm, interval.variance * factor**2)
    cycles = max(round(days / expected), 2)
    return _Seen(days / cycles, warm, interval.variance * (factor / cycles) ** 2, cycles)


@lru_cache(maxsize=4096)
def _clock_at(celsius: float) -> tuple[float, float]:
    """Return the warmth of a temperature, and thermal days per day."""
    warm = warmth(celsius)
    return warm, exp(LN_Q10 * warm)

"""How long this dam's next interval should be: species, then fishroom, then line, then the dam."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, log
from typing import NamedTuple

from app.core.births.evidence import BirthEvidence, DamHistory, LineHistory, OwnInterval
from app.core.species import Species
from app.core.stats.pairs import Pair
from app.core.thermal import LN_Q10, LN_Q10_SD, warmth

SKIP = 0.02  # per cycle; 1.7 % of guppy intervals exceed 1.5 own medians (Reznick et al. 2004)
MISSED = 1.5  # from this many expected intervals on (and 3 SD), a drop was missed or a cycle skipped
MOST_CYCLES = 3  # longer gaps are a pause
DRIFT = 0.25 / 26  # of the interval, per brood: guppies lengthen for life (Reznick et al. 2004)
DRIFT_ENDS = 40  # broods; no record goes much further
CENTRE = 4  # the species mean belongs to about the fourth interval
# Shares of the within-dam SD: chance of one cycle, and the habit moving on. On the records of Reznick
# et al. (2004) maximum likelihood gives 1.05 and 0.32; the first is held lower, because a few far
# outliers swell it and 80 % windows, which hold 82 % there as it is, would hold more.
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

    0.25 d a brood for a 26-day interval, 0 at the fourth or when unknown.

    References
    ----------
    Reznick et al. (2004), Nature 431:1095, individual records: +0.24 d per brood at 26 °C, before the
    twelfth (0.24) as after it (0.30 ± 0.07); held to the fortieth.
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
    """Filter the dam's own intervals; the recent ones weigh more.

    A gap that looks like two cycles is read so. But where a record is full of such gaps, she may be
    a slow dam who skips nothing: then every gap is held against her own median, and the reading
    stands that makes her record the likelier one.
    """
    own = _by_clock(told.history, told)
    read = _filtered(belief, told, own, None)
    if read.missed:
        slow = _filtered(belief, told, own, _median(own))
        read = max(read, slow, key=lambda one: sum(map(_ln_density, one.steps)))
    return read.belief, read.gain, read.missed


class _Step(NamedTuple):
    """One interval as read, and what was expected of it."""

    seen: _Seen
    belief: Pair
    weight: float
    noise: float


class _Filtered(NamedTuple):
    """Her level after her record, how far it was followed, and how many gaps held several cycles."""

    belief: Pair
    gain: float
    missed: int
    steps: list[_Step]


def _filtered(belief: Pair, told: BirthEvidence, own: Sequence[_Seen], usual: float | None) -> _Filtered:
    """Run the filter, counting cycles by ``usual`` thermal days each, or by what is believed so far."""
    sp, within = told.species, told.species.interval_sd_within**2
    chance, step = NOISE**2 * within, STEP**2 * within
    running = told.interval_number
    first = None if running is None else max(running - len(own), 1)
    level = drift(sp, first)
    belief = belief.moved(level, 0)
    left, missed, steps = 1.0, 0, []
    for number, gap in enumerate(own, start=first or 1):
        seen = _one_cycle(gap, usual or belief.a, sp)
        missed += seen.cycles > 1
        if seen.cycles <= MOST_CYCLES:
            steps.append(_Step(seen, belief, -sp.interval_days * seen.warmth, chance + seen.variance))
            belief, gain = belief.learn(seen.days, *steps[-1][2:])
            left *= 1 - gain
        before, level = level, drift(sp, number + 1)
        belief = belief.moved(level - before, step)
    return _Filtered(belief, 1 - left, missed, steps)


def _ln_density(step: _Step) -> float:
    """Return ln of p_k N(days / k; m, v) / k, up to a constant; p_k = 0.02 ** (k - 1)."""
    mean, variance = step.belief.sum(step.weight)
    total, cycles = variance + step.noise, step.seen.cycles
    off = (step.seen.days - mean) ** 2 / total
    return (cycles - 1) * log(SKIP) - log(cycles) - (off + log(total)) / 2


def _dam_means(line: LineHistory, told: BirthEvidence) -> Iterable[_Seen]:
    """Yield each dam's mean interval, free of drift, as evidence on her line's level."""
    sp = told.species
    for dam in line:
        gaps = _by_clock(dam, told)
        # from three intervals on her median says what one cycle should take
        expected = sp.interval_days if len(gaps) < 3 else max(_median(gaps), 0.7 * sp.interval_days)
        if mean := _dam_mean([_one_cycle(gap, expected, sp) for gap in gaps], sp):
            yield mean


def _median(gaps: Sequence[_Seen]) -> float:
    """Return the lower median, thermal days."""
    return sorted(gap.days for gap in gaps)[(len(gaps) - 1) // 2]


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


def _one_cycle(gap: _Seen, expected: float, sp: Species) -> _Seen:
    """Read a gap as one cycle, or as several between which a drop was skipped or missed.

    Two or three expected intervals count as so many cycles; a longer gap is a pause and tells nothing.
    """
    days = gap.days
    if days < MISSED * expected or days < expected + 3 * sp.interval_sd_within:
        return gap
    cycles = max(round(days / expected), 2)
    return _Seen(days / cycles, gap.warmth, gap.variance / cycles**2, cycles)


def _by_clock(dam: DamHistory, told: BirthEvidence) -> list[_Seen]:
    """Return a dam's intervals in thermal days."""
    usual = told.usual_c
    return [_clocked(i.days_low, i.days_high, i.mean_temp_c, usual) for i in dam]


@lru_cache(maxsize=16_384)  # histories repeat the same few intervals
def _clocked(low: float, high: float, celsius: float | None, usual_c: float) -> _Seen:
    """Return one interval in thermal days, at its own temperature or the usual one."""
    interval, warm = OwnInterval(low, high), warmth(usual_c if celsius is None else celsius)
    factor = exp(LN_Q10 * warm)
    return _Seen(interval.middle * factor, warm, interval.variance * factor**2)

"""When a batch can be told apart, and by when its males must be out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from scipy.special import ndtr

from app.core.day_distribution import DayDistribution
from app.core.growth import GrowthEvidence, GrowthForecast, LengthCheck, fit_growth
from app.core.growth.clock import Clock, clock
from app.core.growth.evidence import check_age
from app.core.growth.pace import pace
from app.core.growth.posterior import Posterior
from app.core.method import Method
from app.core.sexing_words import SexingDates, notes
from app.core.species import Species
from app.core.thermal import TemperatureLog
from app.core.why import Used, Why
from app.core.windows import Window

BATCH_SHARE = 0.5
"""Share of the variance of the sexing age that a whole batch has in common (judgement)."""

SIZE_WEIGHT = 0.5
"""Half age, half size: platy males ripen at a critical size (Sohn & Crews 1977); the half is judgement."""

TEN, NINETY = -1.2815515655446004, 1.2815515655446004
FIVE, ONE = -1.6448536269514722, -2.3263478740408408

METHOD = Method(
    key="sexing",
    title="Sexing window and split-by date",
    words=(
        (
            "Each fish can be told male or female from some age on, and that age differs between batches "
            "and between fish. The window opens when half of the batch can be told, comfortable at 90 %."
        ),
        (
            "Split by is the cautious day when at most one male in twenty may be fertile. It often comes "
            "before the window opens; then males are taken out one by one at the first signs."
        ),
        (
            "Ages count in thermal days. Length checks move them half of the way that growth is ahead or "
            "behind; slow growth never moves split by later. A guessed birth day widens the window and moves "
            "split by earlier."
        ),
    ),
    formulas=(
        "age when told ~ Normal(species mean, sd), half of the variance common to the batch",
        "opens: Φ = 0.5; comfortable: Φ = 0.9; split by: 5 % point of male fertility",
        "pace = (age at the usual sexing length / usual sexing age) ^ 0.5",
        "birth guessed ± b days: sd² grows by b², by (b/2)² once lengths are known, which date a batch half",
    ),
    sources=(
        "Reznick et al. (2004), Nature 431:1095: earliest guppy conception about day 36 at 26 °C",
        "Spurway (1953): first sign of a gonopodium on day 51 at 20 °C",
        "Kallman & Borkoski (1978), Genetics 89:79: platy males ripen at 8 to 73 weeks by genotype",
        "Sohn & Crews (1977), PNAS 74:4547: size rather than age",
    ),
    caution="Late males may still turn up among the females; a female with males has to be thought mated.",
)


@dataclass(frozen=True, slots=True)
class SexingEvidence:
    """What a sexing forecast rests on; ``growth`` (or ``checks``) lets size count beside age.

    ``born_uncertainty_days`` is one standard deviation of a birth day that had to be guessed.
    """

    species: Species
    born: date
    today: date
    temperature: TemperatureLog | None = None
    growth: GrowthForecast | None = None
    checks: Sequence[LengthCheck] = ()
    born_uncertainty_days: float = 0.0


@dataclass(frozen=True, slots=True)
class SexingForecast:
    """When sexes can be told, and when they must be apart.

    ``first_signs`` is the day a tenth can be told. ``window`` runs from the opening to ``split_by``; where
    the split comes first, it begins with the first signs, or when one in a hundred can be told if those
    come after it too. Its level is the share of the batch that can first be told inside it. ``opens_80``
    is where this batch's own opening lies with 80 % probability; ``told`` is when nine in ten of it can be
    told.
    """

    first_signs: date
    opens: date
    opens_80: Window
    comfortable: date
    split_by: date
    window: Window
    fraction_sexable_today: float
    told: DayDistribution
    confidence: str
    notes: tuple[str, ...]
    why: Why


@dataclass(frozen=True, slots=True)
class _Ages:
    """Thermal ages: usual sexing age, its spread between fish and between batches, and the split."""

    told: float
    fish_sd: float
    batch_sd: float
    split: float

    @property
    def total_sd(self) -> float:
        return float(np.hypot(self.fish_sd, self.batch_sd))


def forecast_sexing(evidence: SexingEvidence) -> SexingForecast:
    """Forecast when a batch can be sexed and by when it must be split.

    Raises
    ------
    Problem
        When birth lies after today, or a length check can't be true.
    """
    check_age(evidence.born, evidence.today)
    time = clock(evidence.born, evidence.temperature)
    growth = _growth(evidence)
    ages = _unsure_of_birth(
        _ages(evidence.species, growth.posterior if growth else None),
        evidence,
        time,
        measured=_measured(growth),
    )
    dates = _dates(time, ages)
    return SexingForecast(
        first_signs=dates.first_signs,
        opens=dates.opens,
        opens_80=dates.opens_80,
        comfortable=dates.comfortable,
        split_by=dates.split_by,
        window=_window(time, ages, dates),
        fraction_sexable_today=float(ndtr((time.age_on(evidence.today) - ages.told) / ages.total_sd)),
        told=_when_told(time, ages),
        confidence=evidence.species.confidence,
        notes=notes(evidence.species, evidence.today, evidence.temperature, dates),
        why=_why(evidence, growth),
    )


def _growth(evidence: SexingEvidence) -> GrowthForecast | None:
    if evidence.growth or not evidence.checks:
        return evidence.growth
    return fit_growth(
        GrowthEvidence(
            evidence.species,
            evidence.born,
            evidence.today,
            temperature=evidence.temperature,
            checks=evidence.checks,
            born_uncertainty_days=evidence.born_uncertainty_days,
        )
    )


def _measured(growth: GrowthForecast | None) -> bool:
    return growth is not None and growth.posterior.summary is not None


def _ages(species: Species, grown: Posterior | None) -> _Ages:
    mean, variance = species.sexable_age_days, species.sexable_sd**2
    split = species.split_by_days or max(mean + FIVE * species.sexable_sd, 0.5 * mean)
    fish_sd = float(np.sqrt((1 - BATCH_SHARE) * variance))
    shared = BATCH_SHARE * variance
    if grown is None or grown.summary is None:
        return _Ages(mean, fish_sd, float(np.sqrt(shared)), split)
    own = pace(species, grown, mean)
    slow, usual_sd, own_sd = own.factor**SIZE_WEIGHT, SIZE_WEIGHT * own.usual_sd, SIZE_WEIGHT * own.sd
    from_growth = min((mean * usual_sd) ** 2, 0.8 * shared)
    left = shared - from_growth + from_growth * min(1.0, (own_sd / usual_sd) ** 2)
    return _Ages(mean * slow, fish_sd, float(np.sqrt(left)), split * min(1.0, slow))


def _unsure_of_birth(ages: _Ages, evidence: SexingEvidence, time: Clock, *, measured: bool) -> _Ages:
    """Widen the ages by what is not known of the birth, at the pace of the water when they are told.

    Lengths date a measured batch beside its birth: only the half that goes by age stays in doubt. The
    split is the 5 % point of male fertility, whose spread is taken to be that of the sexing age; so it
    moves earlier by 1.645 (√(sd² + b²) - sd).
    """
    if not evidence.born_uncertainty_days > 0:
        return ages
    days, told = evidence.born_uncertainty_days, float(time.days(ages.told))
    unsure = float(time.at(told + days) - time.at(told)) * (1 - SIZE_WEIGHT if measured else 1.0)
    spread = evidence.species.sexable_sd
    earlier = FIVE * (float(np.hypot(spread, unsure)) - spread)
    return replace(
        ages, batch_sd=float(np.hypot(ages.batch_sd, unsure)), split=max(ages.split + earlier, 0.0)
    )


def _dates(time: Clock, ages: _Ages) -> SexingDates:
    def reached(age: float) -> date:
        return time.date_after(float(time.days(max(age, 0.0))))

    split = time.born + timedelta(days=int(time.days(ages.split)))
    signs = reached(ages.told + TEN * ages.total_sd)
    earliest = signs if signs < split else reached(ages.told + ONE * ages.total_sd)
    return SexingDates(
        first_signs=signs,
        look_from=min(earliest, split),
        opens=reached(ages.told),
        opens_80=Window(
            reached(ages.told + TEN * ages.batch_sd), reached(ages.told + NINETY * ages.batch_sd), 0.8
        ),
        comfortable=reached(ages.told + NINETY * ages.total_sd),
        split_by=split,
    )


def _window(time: Clock, ages: _Ages, dates: SexingDates) -> Window:
    start = dates.opens if dates.opens <= dates.split_by else dates.look_from
    before = time.age_on(start - timedelta(days=1)) if start > time.born else 0.0
    told = ndtr((np.array([before, time.age_on(dates.split_by)]) - ages.told) / ages.total_sd)
    return Window(start, dates.split_by, float(told[1] - told[0]))


def _when_told(time: Clock, ages: _Ages) -> DayDistribution:
    """Return when nine in ten fish of this batch can be told: its own mean is not known."""
    needed = ages.told + NINETY * ages.fish_sd
    days = int(time.days(needed + 4 * ages.batch_sd)) + 2
    return DayDistribution.from_cdf(time.born, ndtr((time.ages[:days] - needed) / ages.batch_sd))


def _why(evidence: SexingEvidence, growth: GrowthForecast | None) -> Why:
    species = evidence.species
    row = species.sources.get("sexable_age_days")
    used = [Used("age in days at 25 °C", f"told at {species.sexable_age_days:g} ± {species.sexable_sd:g}")]
    if growth and growth.standing:
        used.append(Used("length checks", f"growth {growth.standing}", SIZE_WEIGHT))
    narrower = () if growth and growth.standing else ("length checks of this batch",)
    return Why(
        method="sexing",
        used=tuple(used),
        prior=f"{species.common_name}: told at {species.sexable_age_days:g} days at 25 °C",
        source=row.words if row else "",
        confidence=species.confidence,
        narrower=narrower,
    )

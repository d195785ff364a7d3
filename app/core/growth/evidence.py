"""What is known about a batch's growth: when it was born, its water, and its length checks."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal

import numpy as np

from app.core.problems import Problem
from app.core.species import Species
from app.core.thermal import TemperatureLog
from app.core.wording import day_words

if TYPE_CHECKING:
    from app.core.growth.posterior import Posterior

Sex = Literal["female", "male"]
OLDEST_DAYS = 3_653
SL_PER_TL = 0.81
"""Standard length per total length: 0.83 in sailfin mollies, 0.79 in montezuma swordtails (biology §15)."""


def total_from_standard(standard_mm: float, ratio: float = SL_PER_TL) -> float:
    """Total length (mm) of a fish measured without its tail fin."""
    if standard_mm <= 0:
        raise Problem(f"a length of {standard_mm:g} mm can't be; give mm above 0", "standard_mm")
    return standard_mm / ratio


@dataclass(frozen=True, slots=True)
class LengthCheck:
    """Fish of one batch measured on one day: total lengths in mm.

    Built from single lengths, or by :meth:`summed` from a number, a mean and a standard deviation.
    """

    day: date
    lengths_mm: tuple[float, ...] = ()
    n: int = 0
    mean_mm: float = 0.0
    sd_mm: float | None = None

    def __post_init__(self) -> None:
        if self.lengths_mm:
            _add_up(self)
        _check(self)

    @classmethod
    def summed(cls, day: date, n: int, mean_mm: float, sd_mm: float | None = None) -> "LengthCheck":
        """Build a check from its number of fish, mean and (unless one fish) standard deviation."""
        return cls(day, (), n, mean_mm, sd_mm)


def _add_up(check: LengthCheck) -> None:
    for length in check.lengths_mm:
        if not length > 0 or length == float("inf"):
            raise Problem(f"a length of {length:g} mm on {check.day} can't be; give mm above 0", "lengths_mm")
    values = np.array(check.lengths_mm)
    object.__setattr__(check, "n", len(values))
    object.__setattr__(check, "mean_mm", float(values.mean()))
    object.__setattr__(check, "sd_mm", float(values.std(ddof=1)) if len(values) > 1 else None)


def _check(check: LengthCheck) -> None:
    if check.n < 1:
        raise Problem(f"the length check of {check.day} holds no fish; measure at least one", "lengths_mm")
    if not 0 < check.mean_mm < float("inf"):
        raise Problem(f"a mean of {check.mean_mm:g} mm on {check.day} can't be; give mm above 0", "mean_mm")
    if check.sd_mm is not None and not 0 <= check.sd_mm < float("inf"):
        raise Problem(f"a standard deviation of {check.sd_mm:g} mm can't be; give 0 or more", "sd_mm")
    if check.n == 1 and check.sd_mm:
        raise Problem(
            f"one fish has no standard deviation ({check.sd_mm:g} mm was given); leave it out", "sd_mm"
        )


@dataclass(frozen=True, slots=True)
class GrowthEvidence:
    """All that a growth forecast rests on.

    ``sex`` is None while the batch is mixed or unsexed. ``kin`` are the posteriors of the line's
    earlier broods (``GrowthForecast.posterior``). ``born_uncertainty_days`` is one standard deviation.
    """

    species: Species
    born: date
    today: date
    sex: Sex | None = None
    temperature: TemperatureLog | None = None
    checks: Sequence[LengthCheck] = ()
    targets_mm: Sequence[float] = ()
    kin: "Sequence[Posterior]" = ()
    born_uncertainty_days: float = 0.0


@dataclass(frozen=True, slots=True)
class TidyChecks:
    """The checks in date order, one a day, and what had to be done to get there."""

    checks: tuple[LengthCheck, ...]
    notes: tuple[str, ...] = ()


def tidy(evidence: GrowthEvidence) -> TidyChecks:
    """Refuse impossible evidence; put the checks in order and pool those of one day.

    Raises
    ------
    Problem
        When a check lies outside the batch's life or its lengths can't be mm of this species.
    """
    check_age(evidence.born, evidence.today)
    for target in evidence.targets_mm:
        if not 0 < target < float("inf"):
            raise Problem(f"a target of {target:g} mm can't be; give mm above 0", "targets_mm")
    for check in evidence.checks:
        _belongs(check, evidence)
    return _pooled(sorted(evidence.checks, key=lambda c: c.day))


def check_age(born: date, today: date) -> None:
    """Refuse a birth after today, or so long ago that a date must be wrong.

    Raises
    ------
    Problem
        When today is before birth or more than ten years after it.
    """
    if today < born:
        raise Problem(f"born {born} lies after today, {today}; check both dates", "born")
    if (today - born).days > OLDEST_DAYS:
        raise Problem(f"born {born} is more than ten years before {today}; check both dates", "born")


def _belongs(check: LengthCheck, evidence: GrowthEvidence) -> None:
    if check.day < evidence.born:
        raise Problem(
            f"the length check of {check.day} lies before birth on {evidence.born}; check both dates",
            "checks",
        )
    if check.day > evidence.today:
        raise Problem(f"the length check of {check.day} lies after today, {evidence.today}", "checks")
    for length in check.lengths_mm or (check.mean_mm,):
        _plausible(length, check.day, evidence.species)


def _plausible(length: float, day: date, species: Species) -> None:
    name, newborn, largest = species.common_name, species.birth_tl_mm, 1.6 * species.linf_f_mm
    if length < 0.5 * newborn:
        raise Problem(
            f"{length:g} mm on {day} is far shorter than a newborn {name} ({newborn:g} mm); "
            f"if that was cm, give {10 * length:g}; if inches, {25.4 * length:.3g}",
            "lengths_mm",
        )
    if length > largest:
        raise Problem(
            f"{length:g} mm on {day} is longer than any {name} (about {species.linf_f_mm:g} mm); "
            "give total length in mm, and check the species",
            "lengths_mm",
        )


def _pooled(checks: list[LengthCheck]) -> TidyChecks:
    kept: list[LengthCheck] = []
    notes: list[str] = []
    for check in checks:
        if not kept or kept[-1].day != check.day:
            kept.append(check)
        elif kept[-1] == check:
            notes.append(f"The length check of {day_words(check.day)} was given twice; it counts once.")
        else:
            kept[-1] = _together(kept[-1], check)
            notes.append(f"Two length checks of {day_words(check.day)} were taken together.")
    return TidyChecks(tuple(kept), tuple(notes))


def _together(a: LengthCheck, b: LengthCheck) -> LengthCheck:
    n = a.n + b.n
    mean = (a.n * a.mean_mm + b.n * b.mean_mm) / n
    squares = sum((c.n - 1) * (c.sd_mm or 0.0) ** 2 + c.n * (c.mean_mm - mean) ** 2 for c in (a, b))
    return LengthCheck.summed(a.day, n, mean, (squares / (n - 1)) ** 0.5)

"""What is expected of a brood before it is measured: species, sex, and the line's earlier broods."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from app.core.growth.curves import Model, climb, lengths, rising
from app.core.growth.evidence import Sex
from app.core.species import Species

Array = NDArray[np.float64]

BROOD_SD = np.array([0.07, 0.10, 0.13])
"""Spread of log L0, log Linf and log K between broods (judgement): with the wandering of the clock a length
CV of 10 to 20 % between broods."""

SLACK = {"high": 1.0, "medium": 1.1, "medium-low": 1.2, "low": 1.3}
"""How much wider Linf and K are taken where the published rows are thin (judgement)."""

LINE_SHARE = 0.7
"""Share of that variance that broods of one line in one fishroom have in common (judgement)."""

FISH_CV, FISH_CV_COUNTS = 0.08, 8.0
"""Fish-to-fish CV within a brood, 5 to 10 % (biology §15), and how many fish that guess is worth."""

ROOT_2PI = 2.5066282746310002
CHECK_CV = 0.02
"""What a net and a ruler add to each check, whatever the number of fish (judgement)."""

WELL_FED_SWORDTAIL = (8.3, 92.0, 0.0158)
"""Gompertz L0, Linf, k per day at 25 °C after James & Sampath (2003), female swordtails (biology §9)."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One sex's share of the batch and its expected log L0, log Linf, log K."""

    sex: Sex
    share: float
    logs: Array


@dataclass(frozen=True, slots=True, eq=False)
class LikelihoodSummary:
    """What one brood's checks said about its deviations, apart from any prior.

    exp(-u'Λu / 2 + h'u) with ``information`` Λ and ``pull`` h. Deviations are from the species' own
    curve of that kind, so that a Gompertz brood speaks to a von Bertalanffy one.
    """

    information: Array
    pull: Array


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """A normal prior on the brood's deviations from its species in log L0, log Linf and log K.

    ``precision`` is the inverse of ``covariance``.
    """

    model: Model
    parts: tuple[Part, ...]
    mean: Array
    covariance: Array
    precision: Array = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "precision", np.linalg.inv(self.covariance))

    @property
    def logs(self) -> Array:
        """Expected log parameters of each part, deviations included: parts by three."""
        return np.stack([part.logs for part in self.parts]) + self.mean

    def lengths(self, deviations: Array, age: Array) -> Array:
        """Batch mean length for each row of deviations at each age."""
        first, *others = self.parts
        table = lengths(self.model, first.logs + deviations, age)
        for part in others:
            table *= first.share
            table += part.share * lengths(self.model, part.logs + deviations, age)
        return table

    def log_climb(self, deviations: Array, age: Array) -> tuple[Array, Array, Array, Array]:
        """Log mean length for each row of deviations at its row of ages, with three derivatives by age."""
        length, first, second, third = climb(self.model, self.parts[0].logs + deviations, age)
        if len(self.parts) > 1:
            share, its = self.parts[0].share, climb(self.model, self.parts[1].logs + deviations, age)
            both = zip((length, first, second, third), its, strict=True)
            length, first, second, third = (share * one + (1 - share) * other for one, other in both)
        first, second, third = first / length, second / length, third / length
        bend = second - first * first
        return np.log(length), first, bend, third - 3 * first * bend - first**3

    def age_at(self, deviations: Array, length: float, near: Array) -> Array:
        """Thermal age at which each row of deviations has a mean length: a Newton step from one near it.

        Within days of it the step leaves less than an hour; beyond the final length it goes far off.
        """
        reached, rate = np.zeros((2, len(near), 1))
        for part in self.parts:
            its, growing = rising(self.model, part.logs + deviations, near[:, None])
            reached += part.share * its
            rate += part.share * growing
        step = (length - reached) / np.maximum(rate, 1e-12 * reached)
        return np.asarray(np.maximum(near + step[:, 0], 0.0))

    def age_of_share(
        self, deviations: Array, length: float, share: float, fish_cv: float, near: Array
    ) -> Array:
        """Thermal age at which a share of each row's fish has a length: Newton steps from an age near it.

        Beyond what a row ever reaches it goes far off.
        """
        age = near[:, None]
        for _ in range(3):
            long, rate = np.zeros((2, len(near), 1))
            for part in self.parts:
                mm, growing = rising(self.model, part.logs + deviations, age)
                score = np.log(mm / length) / fish_cv
                long += part.share * ndtr(score)
                rate += part.share * np.exp(-0.5 * score**2) / (ROOT_2PI * fish_cv) * growing / mm
            age = np.maximum(age + (share - long) / np.maximum(rate, 1e-12), 0.0)
        return np.asarray(age[:, 0])

    def between_sexes(self, age: Array) -> Array:
        """Squared CV that the difference between the sexes adds to the spread of single fish."""
        if len(self.parts) == 1:
            return np.zeros(len(age))
        by_part = lengths(self.model, self.logs, age)
        shares = np.array([p.share for p in self.parts])[:, None]
        mean = (shares * by_part).sum(axis=0)
        return np.asarray((shares * (by_part / mean - 1) ** 2).sum(axis=0))


def species_logs(species: Species, sex: Sex, model: Model) -> Array:
    """Log L0, log Linf and log K expected for a species and sex at 25 °C.

    The Gompertz curve is the swordtail's own where that is known; for the rest it ends at 0.85 of
    the von Bertalanffy length and passes half of that on the same day (judgement).
    """
    linf, k = (
        (species.linf_f_mm, species.k_f_per_day)
        if sex == "female"
        else (species.linf_m_mm, species.k_m_per_day)
    )
    l0 = species.birth_tl_mm
    if model is Model.VON_BERTALANFFY:
        return np.log([l0, linf, k])
    if species.key == "swordtail":
        return np.log(WELL_FED_SWORDTAIL) + np.log([1, linf / species.linf_f_mm, k / species.k_f_per_day])
    return _matched_gompertz(l0, linf, k)


def _matched_gompertz(l0: float, linf: float, k: float) -> Array:
    last = 0.85 * linf
    half_age = np.log((linf - l0) / (linf - last / 2)) / k
    rate = np.log(np.log(last / l0) / np.log(2)) / half_age
    return np.log([l0, last, rate])


def brood_prior(
    species: Species,
    sex: Sex | None,
    model: Model,
    born_uncertainty_days: float = 0.0,
    kin: Sequence[LikelihoodSummary] = (),
) -> Prior:
    """Prior for one brood; an unsexed batch is half of each sex, sharing its deviations.

    An uncertain birth date is exactly an uncertain length at birth: either curve shifted in age is
    the same curve with another L0.
    """
    shares: dict[Sex, float] = {sex: 1.0} if sex else {"female": 0.5, "male": 0.5}
    parts = tuple(Part(s, share, species_logs(species, s, model)) for s, share in shares.items())
    slack = SLACK.get(species.confidence, 1.3)
    covariance = np.diag((BROOD_SD * np.array([1.0, slack, slack])) ** 2)
    mean, covariance = _with_kin(covariance, kin)
    covariance[0, 0] += (_daily_growth(parts[0].logs) * born_uncertainty_days) ** 2
    return Prior(model, parts, mean, covariance)


def _daily_growth(logs: Array) -> float:
    l0, linf, k = np.exp(logs)
    return float(k * (linf - l0) / l0)


def _with_kin(covariance: Array, kin: Sequence[LikelihoodSummary]) -> tuple[Array, Array]:
    """Learn the line's mean deviation from its earlier broods, in closed form."""
    within = (1 - LINE_SHARE) * covariance
    tight = np.linalg.inv(within)
    information, pull = np.linalg.inv(LINE_SHARE * covariance), np.zeros(3)
    for brood in kin:
        keep = tight @ np.linalg.inv(tight + brood.information)
        information = information + tight - keep @ tight
        pull = pull + keep @ brood.pull
    line = np.linalg.inv(information)
    return line @ pull, line + within

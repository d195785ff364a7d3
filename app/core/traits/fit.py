"""Whether what was counted fits what was expected: an exact test, or χ² when the count is large."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

import numpy as np
import numpy.typing as npt
from scipy.special import chdtrc, gammaln

from app.core.problems import Problem

MOST_OUTCOMES = 500_000  # exact as long as every possible count can be listed
NO_LIKELIER = 1e-7  # relative; so that equally likely counts are not lost to rounding
SMALLEST_EXPECTED = 5.0  # the usual rule for χ²

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Group:
    """Counts of one group (all, or one sex), with the fraction expected of each."""

    counts: tuple[int, ...]
    fractions: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ChiSquare:
    """Pearson's statistic, its degrees of freedom and its p-value."""

    statistic: float
    degrees: int
    p_value: float


@dataclass(frozen=True, slots=True)
class Fit:
    """The test that was chosen, its p-value, and why it was chosen."""

    method: str
    p_value: float
    why: str


def chi_square(groups: Sequence[Group]) -> ChiSquare:
    """Pearson's goodness of fit, ``Σ (seen − expected)² / expected``, summed over groups.

    Parameters
    ----------
    groups : Sequence[Group]
        Categories with an expected fraction of 0 must have a count of 0.

    Raises
    ------
    Problem
        If nothing was counted.

    References
    ----------
    Fisher (1936), Annals of Science 1:115, for its use on Mendel's counts.
    """
    possible = [_possible(group) for group in _counted(groups)]
    statistic = 0.0
    for counts, fractions in possible:
        wanted = counts.sum() * fractions
        statistic += float(((counts - wanted) ** 2 / wanted).sum())
    degrees = sum(len(counts) - 1 for counts, _ in possible)
    return ChiSquare(statistic, degrees, float(chdtrc(degrees, statistic)) if degrees else 1.0)


def exact(groups: Sequence[Group]) -> float:
    """Exact multinomial p-value: the sum over all counts no likelier than the one seen.

    The total of each group is taken as given.

    Parameters
    ----------
    groups : Sequence[Group]
        Few enough outcomes to list them all.

    Raises
    ------
    Problem
        If nothing was counted.
    """
    possible = [_possible(group) for group in _counted(groups)]
    seen = sum(_log_chance(counts, fractions) for counts, fractions in possible)
    chances = np.zeros(1)
    for counts, fractions in possible:
        chances = np.add.outer(chances, _all_log_chances(int(counts.sum()), fractions)).ravel()
    return min(1.0, float(np.exp(chances[chances <= seen + NO_LIKELIER]).sum()))


def fits(groups: Sequence[Group]) -> Fit:
    """Test a count, exactly where every outcome can be listed and by χ² otherwise.

    Parameters
    ----------
    groups : Sequence[Group]
        One, or one for each sex.

    Raises
    ------
    Problem
        If nothing was counted.
    """
    counted = _counted(groups)
    for group in counted:
        if any(n > 0 and fraction <= 0 for n, fraction in zip(group.counts, group.fractions, strict=True)):
            return Fit("impossible", 0.0, "a phenotype was counted that this cross cannot give")
    outcomes = 1
    for group in counted:
        outcomes *= comb(sum(group.counts) + len(_possible(group)[0]) - 1, len(_possible(group)[0]) - 1)
    if outcomes <= MOST_OUTCOMES:
        return Fit("exact multinomial", exact(counted), f"all {outcomes} possible counts were listed")
    smallest = min(float((counts.sum() * part).min()) for counts, part in map(_possible, counted))
    small = "" if smallest >= SMALLEST_EXPECTED else f", though an expected count is only {smallest:.1f}"
    why = f"{outcomes} possible counts are too many to list; with large counts χ² is close enough{small}"
    return Fit("chi-square", chi_square(counted).p_value, why)


def differs_by_sex(sons: tuple[int, int], daughters: tuple[int, int]) -> tuple[float, float]:
    """Fisher's exact test of a trait in sons against daughters: p-values "more in sons" and two-sided.

    Parameters
    ----------
    sons, daughters : tuple[int, int]
        With and without the trait.

    Raises
    ------
    Problem
        If a count is below zero.

    References
    ----------
    Fisher (1935), The Design of Experiments, ch. 2.
    """
    table = np.array([sons, daughters])
    if table.min() < 0:
        raise Problem("counts cannot be below zero", "sons")
    with_it, males, total = int(table[:, 0].sum()), int(table[0].sum()), int(table.sum())
    cells = np.arange(max(0, with_it + males - total), min(with_it, males) + 1)
    logs = _log_choose(males, cells) + _log_choose(total - males, with_it - cells)
    chances = np.exp(logs - _log_choose(total, np.array([with_it])))
    seen = float(chances[cells == sons[0]][0])
    two_sided = float(chances[chances <= seen * (1 + NO_LIKELIER)].sum())
    return float(chances[cells >= sons[0]].sum()), min(1.0, two_sided)


def _counted(groups: Sequence[Group]) -> list[Group]:
    if any(min(group.counts, default=0) < 0 for group in groups):
        raise Problem("counts cannot be below zero; give 0 or more", "observed")
    counted = [group for group in groups if sum(group.counts) > 0]
    if not counted:
        raise Problem("nothing was counted; give at least one fish", "observed")
    return counted


def _possible(group: Group) -> tuple[Floats, Floats]:
    fractions = np.array(group.fractions)
    some = fractions > 0
    return np.array(group.counts, dtype=np.float64)[some], fractions[some] / fractions[some].sum()


def _log_chance(counts: Floats, fractions: Floats) -> float:
    terms = counts * np.log(fractions) - gammaln(counts + 1)
    return float(gammaln(counts.sum() + 1) + terms.sum())


def _all_log_chances(total: int, fractions: Floats) -> Floats:
    """Return the log chance of every way to share ``total`` among the categories."""
    left, logs = np.array([total]), np.array([float(gammaln(total + 1))])
    for fraction in fractions[:-1]:
        turns = left + 1
        starts = np.repeat(np.cumsum(turns) - turns, turns)
        counts = np.arange(int(turns.sum())) - starts
        logs = np.repeat(logs, turns) + counts * np.log(fraction) - gammaln(counts + 1)
        left = np.repeat(left, turns) - counts
    return np.asarray(logs + left * np.log(fractions[-1]) - gammaln(left + 1))


def _log_choose(n: int, k: npt.NDArray[np.int64]) -> Floats:
    return np.asarray(gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1))

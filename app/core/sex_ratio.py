"""Males against females in a brood: how odd the ratio is, and how sure one can be."""

from dataclasses import dataclass

from scipy.special import bdtr, betaincinv, ndtri

from app.core.method import Method
from app.core.problems import Problem

PRIOR = 10.0
"""Beta(10, 10): half and half with the spread between broods (biology §14a, judgement)."""

METHOD = Method(
    key="sex_ratio",
    title="Sex ratio of a brood",
    words=(
        (
            "The exact chance of a split at least as uneven as the one counted if males and females were "
            "equally likely, with the range of male shares that the count does not rule out."
        ),
        "A brood's own share also leans on the usual half and half, so that six fish prove little.",
    ),
    formulas=(
        "p = sum of Bin(k; n, 1/2) over all k no likelier than the count",
        "Clopper–Pearson: [B(0.025; m, f+1), B(0.975; m+1, f)]",
        "share of males | count ~ Beta(10 + m, 10 + f)",
    ),
    sources=(
        "Clopper & Pearson (1934), Biometrika 26:404",
        "Wilson (1927), J. Am. Stat. Assoc. 22:209",
        "Brown, Cai & DasGupta (2001), Statistical Science 16:101",
        "Beta(10, 10) between broods: judgement",
    ),
    caution="Temperature can skew the ratio, and late males are easily counted as females.",
)


@dataclass(frozen=True, slots=True)
class Share:
    """A share between 0 and 1 with both ends of its interval."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SexRatio:
    """What a count of males and females says.

    ``expected`` is the mean share of males after the count, leaning on half and half, with
    ``expected_80`` its central 80 %.
    """

    males: int
    females: int
    p_value: float
    interval_95: Share
    expected: float
    expected_80: Share


def sex_ratio(males: int, females: int) -> SexRatio:
    """Test a count against one to one and give the share of males with its intervals.

    Raises
    ------
    Problem
        When a number is negative or nothing was counted.
    """
    total = _total(males, females)
    after = (PRIOR + males, PRIOR + females)
    return SexRatio(
        males=males,
        females=females,
        p_value=exact_p(males, total),
        interval_95=clopper_pearson(males, total),
        expected=after[0] / (after[0] + after[1]),
        expected_80=Share(float(betaincinv(*after, 0.1)), float(betaincinv(*after, 0.9))),
    )


def exact_p(hits: int, total: int) -> float:
    """Two-sided exact binomial p-value of ``hits`` in ``total`` against one half."""
    fewer = min(hits, total - hits)
    return min(1.0, 2.0 * float(bdtr(fewer, total, 0.5)))


def clopper_pearson(hits: int, total: int, level: float = 0.95) -> Share:
    """Exact interval for a share (Clopper & Pearson 1934)."""
    tail = (1 - level) / 2
    low = float(betaincinv(hits, total - hits + 1, tail)) if hits else 0.0
    high = float(betaincinv(hits + 1, total - hits, 1 - tail)) if hits < total else 1.0
    return Share(low, high)


def wilson(hits: int, total: int, level: float = 0.95) -> Share:
    """Score interval for a share (Wilson 1927)."""
    z = float(ndtri((1 + level) / 2))
    share = hits / total
    centre = (share + z * z / (2 * total)) / (1 + z * z / total)
    half = z / (1 + z * z / total) * (share * (1 - share) / total + z * z / (4 * total**2)) ** 0.5
    return Share(max(0.0, centre - half), min(1.0, centre + half))


def jeffreys(hits: int, total: int, level: float = 0.95) -> Share:
    """Central interval of Beta(hits + ½, misses + ½) (Brown, Cai & DasGupta 2001)."""
    tail = (1 - level) / 2
    a, b = hits + 0.5, total - hits + 0.5
    low = float(betaincinv(a, b, tail)) if hits else 0.0
    high = float(betaincinv(a, b, 1 - tail)) if hits < total else 1.0
    return Share(low, high)


def _total(males: int, females: int) -> int:
    for number, field in ((males, "males"), (females, "females")):
        if number < 0:
            raise Problem(f"{number} {field} can't be; count from 0 up", field)
    if males + females == 0:
        raise Problem("no fish were counted; give at least one male or female", "males")
    return males + females

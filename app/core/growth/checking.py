"""Where the mean of a length check will fall: the curve's own doubt, and that of a small sample."""

from math import exp, hypot, log, sqrt

from app.core.growth.forecast import CurvePoint
from app.core.growth.priors import CHECK_CV
from app.core.problems import Problem

NINETY = 1.2815515655446004
"""Standard normal deviate with 10 % above it."""

USUAL_FISH = 10
"""Fish in a length check, as keepers are asked for."""


def check_band(point: CurvePoint, fish_cv: float, fish: int = USUAL_FISH) -> tuple[float, float]:
    """Central 80 % for the mean length (mm) of ``fish`` fish measured on a day of the curve.

    The logs of curve and sample are taken as normal and independent: the half width is
    √(w² + z² (CV²/n + c²)) with w the curve's own, z = 1.28, CV the spread between fish of a brood
    and c what a net and a ruler add.

    Parameters
    ----------
    point : CurvePoint
        The batch's mean length on the day, with its central 80 %.
    fish_cv : float
        Coefficient of variation between the fish of the batch, 0 to 1.
    fish : int
        How many are measured.

    Raises
    ------
    Problem
        When no fish is measured.
    """
    if fish < 1:
        raise Problem(f"{fish} fish can't be measured; give 1 or more", "fish")
    sample = NINETY * hypot(fish_cv / sqrt(fish), CHECK_CV)
    below = hypot(log(point.median_mm / point.p10_mm), sample)
    above = hypot(log(point.p90_mm / point.median_mm), sample)
    return point.median_mm * exp(-below), point.median_mm * exp(above)

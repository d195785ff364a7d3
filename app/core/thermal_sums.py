"""Classical laws of development time, beside which the brood clock is judged."""

from collections.abc import Sequence


def degree_days(daily_c: Sequence[float], base_c: float = 0.0) -> float:
    """Sum of daily means above a base, °C·d."""
    return sum(max(c - base_c, 0.0) for c in daily_c)


def temperature_units_f(daily_f: Sequence[float]) -> float:
    """Sum of °F above 32, the hatcheries' temperature units (Leitritz & Lewis 1976)."""
    return sum(max(f - 32.0, 0.0) for f in daily_f)


def triangle_degree_days(low_c: float, high_c: float, base_c: float) -> float:
    """Degree-days of one day whose temperature rises and falls along straight lines.

    (high - base)² / (2 (high - low)) when the base lies between; mean - base or 0 outside.

    References
    ----------
    Zalom et al. (1983), Degree-days: the calculation and use of heat units in pest management.
    """
    if base_c <= low_c:
        return (low_c + high_c) / 2 - base_c
    if base_c >= high_c:
        return 0.0
    return (high_c - base_c) ** 2 / (2 * (high_c - low_c))


def q10(cold_c: float, cold_days: float, warm_c: float, warm_days: float) -> float:
    """Q10 of the rate of development: (d1 / d2) ** (10 / (T2 - T1)) (van 't Hoff)."""
    return float((cold_days / warm_days) ** (10 / (warm_c - cold_c)))


def days_at(days: float, from_c: float, to_c: float, by_q10: float) -> float:
    """Days at another temperature: d * Q10 ** ((from - to) / 10) (van 't Hoff)."""
    return float(days * by_q10 ** ((from_c - to_c) / 10))


def crisp_days(temperature_c: float, b: float, alpha: float, log10_a: float) -> float:
    """Days to median hatch: log10 D = b log10(T - alpha) + log10 a.

    References
    ----------
    Crisp (1981), Freshwater Biology 11:361.
    """
    return float((temperature_c - alpha) ** b * 10**log10_a)


def crisp_stages(hatch_days: float) -> tuple[float, float]:
    """Days to eyed eggs and to swim-up: 0.5 and 1.7 of hatching (Crisp 1988, Freshw. Biol. 19:41)."""
    return 0.5 * hatch_days, 1.7 * hatch_days

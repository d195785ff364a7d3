"""The smallest water changes that keep nitrate under a ceiling: the first one, and one every week."""

from app.core.problems import Problem

WEEK = 7.0


def weekly_change(
    production_mg_per_day: float, litres: float, ceiling: float, source: float = 0.0
) -> float | None:
    """Smallest weekly change that keeps the lasting peak at the ceiling; None when none can.

    ``f = 7·(P/V) / (ceiling − C_src)``

    Parameters
    ----------
    production_mg_per_day : float
        Below zero counts as none.
    litres : float
        Above 0.
    ceiling, source : float
        mg/L, as NO3.

    Raises
    ------
    Problem
        If litres are not above zero.
    """
    return _share(ceiling, ceiling - weekly_rise(production_mg_per_day, litres), source)


def first_change(
    now: float, production_mg_per_day: float, litres: float, ceiling: float, source: float = 0.0
) -> float | None:
    """Smallest change today after which a week's rise still ends at the ceiling; None when none can.

    ``f = (C + 7·P/V − ceiling) / (C − C_src)``, 0 when no change is needed. From there on the
    weekly change holds.

    Parameters
    ----------
    now : float
        mg/L today, as NO3.
    production_mg_per_day : float
        Below zero counts as none.
    litres : float
        Above 0.
    ceiling, source : float
        mg/L, as NO3.

    Raises
    ------
    Problem
        If litres are not above zero.
    """
    return _share(now, ceiling - weekly_rise(production_mg_per_day, litres), source)


def weekly_rise(production_mg_per_day: float, litres: float) -> float:
    """Rise in a week without changes, mg/L.

    Parameters
    ----------
    production_mg_per_day : float
        Below zero counts as none.
    litres : float
        Above 0.

    Raises
    ------
    Problem
        If litres are not above zero.
    """
    if not litres > 0:
        raise Problem(f"{litres:g} L is no tank; give litres above 0", "litres")
    return WEEK * max(0.0, production_mg_per_day) / litres


def _share(now: float, after: float, source: float) -> float | None:
    """Return the share to replace to come from ``now`` down to ``after``."""
    if now <= after:
        return 0.0
    return (now - after) / (now - source) if after >= source and now > source else None

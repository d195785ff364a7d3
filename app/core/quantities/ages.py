"""From a typed age to days: 10 weeks, 4 months, 1.5 years."""

from app.core.problems import Problem
from app.core.quantities.figures import split

DAYS = {
    **dict.fromkeys(("d", "day", "days"), 1.0),
    **dict.fromkeys(("w", "wk", "wks", "week", "weeks"), 7.0),
    **dict.fromkeys(("m", "mo", "mon", "month", "months"), 365.25 / 12.0),
    **dict.fromkeys(("y", "yr", "yrs", "year", "years"), 365.25),
}
OLDEST_DAYS = 10 * 365.25  # no livebearer kept in tanks is said to live so long


def parse_age(text: str, field: str = "age") -> int:
    """Return whole days; an age needs its unit.

    Parameters
    ----------
    text : str
        Such as ``10 weeks``, ``4 months`` or ``1.5 years``.
    field : str
        Name for the error.

    Raises
    ------
    Problem
        If it is no age, has no unit, is below zero, or beyond ten years.
    """
    number, words = split(text, field, "10 weeks or 4 months")
    if words not in DAYS:
        raise Problem(f"{text.strip()!r} is not an age; give one such as 10 weeks or 4 months", field)
    days = number * DAYS[words]
    if not 0 <= days <= OLDEST_DAYS:
        raise Problem(f"{text.strip()!r} is no age of a fish; give 0 to 10 years", field)
    return round(days)

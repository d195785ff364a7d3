"""Forecasts a dam's next drop from the evidence about her."""

from dataclasses import dataclass

from app.core.births.calendar import Dated, dated, timeline
from app.core.births.evidence import BirthEvidence
from app.core.births.fertility import prior_chance
from app.core.births.later import NO_LATER, Later, later_drops, males_left
from app.core.births.learning import Learned, learn
from app.core.births.method import METHOD
from app.core.births.notes import notes
from app.core.births.reasons import confidence, why
from app.core.births.releases import chance_of_releasing, fry_per_week
from app.core.births.result import BirthForecast
from app.core.births.sizes import brood_size
from app.core.births.waits import wait
from app.core.species import Reproduction
from app.core.thermal import BREEDING_C, TemperatureLog

PAST = 0.025  # a carrying dam would have dropped by now with 97.5 %


@dataclass(frozen=True, slots=True)
class _Outlook:
    """The dated part of a forecast, where there is one."""

    p_carrying: float
    overdue: bool
    dated: Dated | None = None
    later: Later = NO_LATER
    fry_per_week: float | None = None


def forecast_birth(told: BirthEvidence) -> BirthForecast:
    """Forecast the next drop.

    The wait since the last drop, first exposure or purchase is spread over thermal days
    (:mod:`~app.core.births.waits`) about a mean learnt from species, fishroom, line and dam
    (:mod:`~app.core.births.learning`), put on dates by the tank's temperatures and cut off at today
    (:mod:`~app.core.births.calendar`). No drop has come before ``told.today``.

    Parameters
    ----------
    told : BirthEvidence
        Days at civil dates, temperatures in °C, lengths in mm total length.

    Returns
    -------
    BirthForecast
        For overlapping broods a rate instead of dates; without dates where none can follow.

    References
    ----------
    See :data:`app.core.births.method.METHOD`.
    """
    learned = learn(told)
    log = told.temperature or TemperatureLog.constant(told.usual_c)
    outlook = _outlook(told, learned, log)
    days = outlook.dated
    return BirthForecast(
        p_carrying=outlook.p_carrying,
        median=days.day(0.5) if days else None,
        window_80=days.window(0.8) if days else None,
        window_95=days.window(0.95) if days else None,
        cdf=days.rows() if days else (),
        later_drops=outlook.later.windows,
        later_chances=outlook.later.chances,
        brood_size=brood_size(told) if outlook.p_carrying > 0 else None,
        fry_per_week=outlook.fry_per_week,
        overdue=outlook.overdue,
        confidence=confidence(told),
        notes=notes(told, learned, outlook.p_carrying, outlook.overdue, outlook.later),
        method=METHOD.key,
        why=why(told, learned),
    )


def _outlook(told: BirthEvidence, learned: Learned, log: TemperatureLog) -> _Outlook:
    prior = prior_chance(told)
    if prior == 0:
        return _Outlook(0.0, overdue=False)
    if told.species.reproduction is Reproduction.OVERLAPPING:
        p = chance_of_releasing(told, learned, log)
        rate = fry_per_week(learned, brood_size(told), told.usual_c)
        return _Outlook(p, overdue=p < 0.5 <= prior, fry_per_week=rate)
    line = timeline(told, learned, log)
    level = learned.belief.a
    days = dated(told, wait(told, learned, line.mean_c(level), line.doubt(level)), line)
    if days is None:
        return _Outlook(0.0, overdue=True)
    p = prior * days.survived / (prior * days.survived + 1 - prior)
    overdue = days.survived <= PAST or p < 0.5 <= prior
    if not BREEDING_C[0] <= told.usual_c <= BREEDING_C[1]:
        return _Outlook(p, overdue)
    return _Outlook(p, overdue, days, _later(told, learned, days, p))


def _later(told: BirthEvidence, learned: Learned, days: Dated, p: float) -> Later:
    """Return the later drops; without stored sperm only while males stay with her."""
    if not told.species.stores_sperm and males_left(told) is not None:
        return NO_LATER
    return later_drops(told, learned, days, p)

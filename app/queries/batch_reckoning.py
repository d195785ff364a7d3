"""Runs the models of one batch, once for the same evidence: a fit costs milliseconds, a look-up none."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from app.core.growth import GrowthEvidence, GrowthForecast, LengthCheck, Sex, fit_growth
from app.core.readiness import ReadyEvidence, ReadyForecast, forecast_ready
from app.core.sexing import SexingEvidence, SexingForecast, forecast_sexing
from app.core.species import Overrides, overridden, species
from app.core.thermal import TemperatureLog


@dataclass(frozen=True, slots=True)
class Measured:
    """Everything a batch's forecasts rest on, as values that can be compared."""

    species: str
    overrides: Overrides
    born: date
    today: date
    born_uncertainty_days: float
    sex: Sex | None
    temperature: TemperatureLog
    checks: tuple[LengthCheck, ...]
    sexed: bool


@lru_cache(maxsize=4096)
def grown(told: Measured, kin: tuple[Measured, ...] = ()) -> GrowthForecast:
    """Fit the growth of one batch, with its kin's fits pooled in."""
    of = overridden(species(told.species), told.overrides)
    return fit_growth(
        GrowthEvidence(
            species=of,
            born=told.born,
            today=told.today,
            sex=told.sex,
            temperature=told.temperature,
            checks=told.checks,
            targets_mm=(of.sale_length_mm,),
            kin=tuple(grown(other).posterior for other in kin),
            born_uncertainty_days=told.born_uncertainty_days,
        )
    )


@lru_cache(maxsize=4096)
def reckon_batch(
    told: Measured, kin: tuple[Measured, ...] = ()
) -> tuple[GrowthForecast, SexingForecast, ReadyForecast]:
    """Return growth, sexing and readiness of one batch."""
    of = overridden(species(told.species), told.overrides)
    growth = grown(told, kin)
    rests_on = growth if told.checks or kin else None
    sexing = forecast_sexing(
        SexingEvidence(
            of, told.born, told.today, told.temperature, rests_on, told.checks, told.born_uncertainty_days
        )
    )
    ready = forecast_ready(
        ReadyEvidence(
            of,
            told.born,
            told.today,
            growth,
            sexing,
            sexed=told.sexed,
            born_uncertainty_days=told.born_uncertainty_days,
        )
    )
    return growth, sexing, ready

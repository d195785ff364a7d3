"""Growth of a batch: the curve, its window, and the dates of lengths."""

from app.core.growth.curves import Model
from app.core.growth.evidence import GrowthEvidence, LengthCheck, Sex, total_from_standard
from app.core.growth.forecast import (
    CurvePoint,
    GrowthForecast,
    GrowthParameters,
    Standing,
    TargetDate,
    fit_growth,
)
from app.core.growth.method import METHOD
from app.core.growth.posterior import Posterior

__all__ = [
    "METHOD",
    "CurvePoint",
    "GrowthEvidence",
    "GrowthForecast",
    "GrowthParameters",
    "LengthCheck",
    "Model",
    "Posterior",
    "Sex",
    "Standing",
    "TargetDate",
    "fit_growth",
    "total_from_standard",
]

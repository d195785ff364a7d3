"""Births: when a dam drops next, whether she is carrying, and how many fry to expect."""

from app.core.births.evidence import (
    Arrived,
    BirthEvidence,
    DamHistory,
    Exposed,
    LastDrop,
    LineHistory,
    OwnInterval,
    Start,
)
from app.core.births.forecast import forecast_birth
from app.core.births.method import CARRYING, METHOD
from app.core.births.result import BirthForecast
from app.core.births.sizes import BroodSize

__all__ = [
    "CARRYING",
    "METHOD",
    "Arrived",
    "BirthEvidence",
    "BirthForecast",
    "BroodSize",
    "DamHistory",
    "Exposed",
    "LastDrop",
    "LineHistory",
    "OwnInterval",
    "Start",
    "forecast_birth",
]

"""All models as the Methods page, the terminal and every why tell them, in the order of the work."""

from collections.abc import Mapping
from types import MappingProxyType

from app.core import fry_care, planning, readiness, scoring, sex_ratio, sexing, survival
from app.core.births.method import CARRYING
from app.core.births.method import METHOD as BIRTHS
from app.core.growth.method import METHOD as GROWTH
from app.core.lineage import relations, sires
from app.core.method import Method
from app.core.traits import cross
from app.core.water import (
    acclimation,
    acclimation_changes,
    ammonia,
    brine_shrimp,
    course,
    hardness,
    ledger,
    mixing,
    nitrate,
    oxygen,
    salt,
    seawater,
    targets,
)

GROUPS: tuple[tuple[str, tuple[Method, ...]], ...] = (
    ("Births", (BIRTHS, CARRYING)),
    (
        "Growing up",
        (
            fry_care.METHOD,
            brine_shrimp.METHOD,
            GROWTH,
            sexing.METHOD,
            survival.METHOD,
            readiness.METHOD,
            planning.METHOD,
            sex_ratio.METHOD,
        ),
    ),
    ("Descent", (relations.METHOD, sires.METHOD, cross.METHOD)),
    ("How well it forecasts", (scoring.METHOD,)),
    (
        "Water",
        (
            mixing.METHOD,
            salt.METHOD,
            ledger.METHOD,
            course.METHOD,
            seawater.METHOD,
            hardness.METHOD,
            ammonia.METHOD,
            nitrate.METHOD,
            oxygen.METHOD,
            targets.METHOD,
            acclimation.METHOD,
            acclimation_changes.METHOD,
        ),
    ),
)
METHODS: Mapping[str, Method] = MappingProxyType(
    {method.key: method for _, group in GROUPS for method in group}
)

"""A real tank at the water bench: what calculators begin with, and what of an answer can be logged."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from types import MappingProxyType
from typing import Any

from sqlalchemy.orm import Session

from app.core.cautions import Caution
from app.core.quantities import show_mass, show_share
from app.core.water.ledger import Held
from app.core.water.salt_course import PLAIN_G_PER_L
from app.core.water.targets import FRESH_DAYS
from app.queries.bench.answers import BlendToLog, ChangeToLog, DoseToLog, ToLog
from app.queries.ledger import TankLedger, tank_ledger
from app.queries.readings import last_of_each
from app.queries.water_forms import dose_cautions
from app.store.actor import Actor
from app.store.readings import Quantity
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import Measure, SourceWater, Substance, SubstanceKind

TO_DO = 1e-4
"""Grams, or a share, below which nothing is worth logging."""


@dataclass(frozen=True, slots=True)
class BenchTank:
    """One tank as the bench knows it: its ledger now, as it is kept, and the fishroom's waters."""

    id: int
    name: str
    ledger: TankLedger
    now: Mapping[Held, float | None]
    last: Mapping[Quantity, float]
    kept: Tank
    waters: tuple[SourceWater, ...]

    @property
    def product(self) -> Substance | None:
        """The first mineral that goes by its label."""
        found = (one for one in self.ledger.substances.values() if one.gh_dh_per_unit_l and _dosed(one))
        return next(found, None)

    @property
    def salted(self) -> bool:
        """Whether there is salt to take out."""
        return (self.now[Held.SALT] or 0.0) > PLAIN_G_PER_L

    @property
    def warm_c(self) -> float | None:
        """The temperature last read."""
        return self.last.get(Quantity.TEMPERATURE)


@dataclass(frozen=True, slots=True)
class Action:
    """Something that can be logged now: an exact dose, a change to look over, or a substance to add first."""

    words: str
    kind: str
    substance_id: int | None = None
    amount: str = ""
    volume: str = ""
    waters: tuple[int, int] | None = None
    cautions: tuple[Caution, ...] = ()


def bench_tank(session: Session, actor: Actor, tank_id: int) -> BenchTank:
    """Read one tank for the bench."""
    tank = find(session, Tank, tank_id)
    ledger = tank_ledger(session, actor, tank.id)
    return BenchTank(
        tank.id,
        tank.name,
        ledger,
        {held: ledger.level(held, actor.now) for held in Held},
        {
            quantity: read[-1].value
            for quantity, read in last_of_each(session, actor, tank.id).items()
            if quantity not in FLEETING or actor.now - read[-1].taken_at <= timedelta(days=FRESH_DAYS)
        },
        tank,
        tuple(rows(session, SourceWater, SourceWater.retired_on.is_(None), order=SourceWater.name)),
    )


Filled = dict[str, Any]
LIKE_DH = 0.06
"""Two figures that a page shows alike."""
FLEETING = {Quantity.AMMONIA, Quantity.PH}
"""What says nothing of today once the test is old."""


def _salt(tank: BenchTank) -> Filled:
    return {"now": tank.now[Held.SALT]}


def _salt_top_up(tank: BenchTank) -> Filled:
    return {"before": tank.now[Held.SALT]}


def _changes(tank: BenchTank) -> Filled:
    return {"start": tank.now[Held.SALT]} if tank.now[Held.SALT] else {}


def _minerals(tank: BenchTank) -> Filled:
    return {"now_gh": tank.now[Held.GH], "now_kh": tank.now[Held.KH]}


def _label(tank: BenchTank) -> Filled:
    product = tank.product
    if product is None:
        return {}
    gh, kh = product.gh_dh_per_unit_l or 0.0, product.kh_dh_per_unit_l
    return {
        "label_mass": 10.0,
        "label_water": 100.0,
        "label_gh": gh / 10.0,
        "label_kh": None if kh is None else kh / 10.0,
    }


def _blend(tank: BenchTank) -> Filled:
    """Fill in the two waters that differ most in GH, the harder first."""
    known = sorted((one for one in tank.waters if one.gh_dh is not None), key=lambda one: -(one.gh_dh or 0.0))
    if len(known) < 2:
        return {}
    first, second = known[0], known[-1]
    return {
        "first_gh": first.gh_dh,
        "first_kh": first.kh_dh,
        "second_gh": second.gh_dh,
        "second_kh": second.kh_dh,
    }


def _nitrate(tank: BenchTank) -> Filled:
    sources = [one.nitrate_mg_per_l for one in tank.waters if one.nitrate_mg_per_l is not None]
    return {
        "now": tank.last.get(Quantity.NITRATE),
        "feed": tank.kept.feed_g_per_day,
        **({"source": max(sources)} if sources else {}),
    }


def _ammonia(tank: BenchTank) -> Filled:
    """Begin with the last tests; the total is kept as nitrogen, as the form takes it."""
    return {
        "shown": tank.last.get(Quantity.AMMONIA),
        "ph": tank.last.get(Quantity.PH),
        "temperature": tank.warm_c,
    }


def _oxygen(tank: BenchTank) -> Filled:
    return {"temperature": tank.warm_c, "salinity": tank.now[Held.SALT]}


def _acclimation(tank: BenchTank) -> Filled:
    return {"to_salinity": tank.now[Held.SALT], "to_gh": tank.now[Held.GH], "to_temperature": tank.warm_c}


FILLS: Mapping[str, Callable[[BenchTank], Filled]] = MappingProxyType(
    {
        "salt": _salt,
        "salt-top-up": _salt_top_up,
        "salt-strength": _salt,
        "changes": _changes,
        "minerals": _minerals,
        "label": _label,
        "blend": _blend,
        "nitrate": _nitrate,
        "ammonia": _ammonia,
        "oxygen": _oxygen,
        "acclimation": _acclimation,
    }
)
"""The calculators that know a tank, and what of it each begins with."""
DRY = {"ammonia", "oxygen", "acclimation"}
"""Calculators that do not ask how much water there is."""


def filled(key: str, tank: BenchTank) -> Filled:
    """Return what a calculator's fields hold for a tank; what is not known is left out."""
    water = {} if key in DRY else {"water": tank.ledger.litres}
    return {name: value for name, value in {**water, **FILLS[key](tank)}.items() if value is not None}


def actions(tank: BenchTank, logs: Sequence[ToLog]) -> tuple[Action, ...]:
    """Return what of an answer can be logged in a tank."""
    found = []
    for one in logs:
        if isinstance(one, ChangeToLog):
            found.append(_change(tank, one))
        elif isinstance(one, BlendToLog):
            found.extend(_blended(tank, one))
        elif one.grams > TO_DO:
            found.append(_dose(tank, one))
    return tuple(found)


def _change(tank: BenchTank, change: ChangeToLog) -> Action:
    share = show_share(change.fraction)
    return Action(
        f"Log a change of {share} in {tank.name}", "change", volume=f"{100 * change.fraction:.6g} %"
    )


def _blended(tank: BenchTank, blend: BlendToLog) -> list[Action]:
    """Return the way to log a change with the blend, where both waters are among the fishroom's."""
    meant = [_water(tank, *asked) for asked in (blend.first, blend.second)]
    first, second = meant
    if first is None or second is None or first.id == second.id or not 0 < blend.share < 1:
        return []
    return [
        Action(
            f"Change water in {tank.name} with {first.name} and {show_share(blend.share)} {second.name}",
            "blend",
            volume=show_share(blend.share),
            waters=(first.id, second.id),
        )
    ]


def _water(tank: BenchTank, gh_dh: float | None, kh_dh: float | None) -> SourceWater | None:
    """Return the fishroom's water of that hardness; what is not known fits what is not asked."""
    pairs = ((one, ((one.gh_dh, gh_dh), (one.kh_dh, kh_dh))) for one in tank.waters)
    return next(
        (one for one, told in pairs if all(a == b or (a and b and abs(a - b) < LIKE_DH) for a, b in told)),
        None,
    )


def _dose(tank: BenchTank, dose: DoseToLog) -> Action:
    meant = [one for one in tank.ledger.substances.values() if _dosed(one) and _is(one, dose)]
    if not meant:
        return Action(f"Add {dose.name} to your substances, to log it in {tank.name}", "missing")
    return Action(
        f"It is in: log {show_mass(dose.grams)} {meant[0].name} in {tank.name}",
        "dose",
        meant[0].id,
        f"{dose.grams:.6g} g",
        cautions=tuple(one for one in dose_cautions(meant[0], tank.kept) if one.kind != "note"),
    )


def _dosed(substance: Substance) -> bool:
    return substance.retired_on is None and substance.measure is Measure.GRAM


def _is(substance: Substance, dose: DoseToLog) -> bool:
    if dose.gh_per_gram is not None:
        return abs((substance.gh_dh_per_unit_l or 0.0) - dose.gh_per_gram) < 0.02 * dose.gh_per_gram
    if dose.formula == "NaCl" and substance.kind is SubstanceKind.SALT:
        return True
    return _plain(substance.formula) == _plain(dose.formula)


def _plain(formula: str) -> str:
    return formula.replace("·", ".").replace("*", ".").replace(" ", "")

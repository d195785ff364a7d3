"""What the forms about a tank's water begin with: waters and substances to choose from, and what to mind."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.cautions import HANDS, WASTE, Caution, Mates, cautions_for
from app.core.quantities import show_share
from app.core.quantities.dosing import EXAMPLES, FEW
from app.core.water.ledger import Held, Key
from app.core.water.levels import Measure, show_amount, show_held, show_level
from app.queries.choices import open_waters
from app.queries.evidence.waters import gains_of, key_of
from app.queries.ledger import tank_ledger
from app.store.actor import Actor
from app.store.session import find, rows
from app.store.tanks import Tank
from app.store.waters import Poured, Substance, SubstanceKind, WaterChange, WaterMove


@dataclass(frozen=True, slots=True)
class ChangePage:
    """A tank whose water is changed or topped up: the waters to choose from, and how it was done last.

    ``last_others`` are the waters poured with ``last_water``, each with its share of the blend.
    """

    tank_id: int
    name: str
    litres: float
    waters: tuple[tuple[int, str], ...]
    last_share: str
    last_water: int | None
    last_others: tuple[tuple[int, str], ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class SubstanceToDose:
    """A substance on the list of what can be dosed."""

    id: int
    name: str
    kind: str
    now: str


@dataclass(frozen=True, slots=True)
class DoseList:
    """A tank and what can be dosed there."""

    tank_id: int
    name: str
    substances: tuple[SubstanceToDose, ...]


@dataclass(frozen=True, slots=True)
class DosePage:
    """One substance for one tank: the level now, the label's dose, and what to mind."""

    tank_id: int
    name: str
    litres: float
    substance_id: int
    substance: str
    measure: Measure
    of_salt: bool
    key: Key
    of: str
    now: str
    label: str
    label_amount: str
    reaches: bool
    amount_hint: str
    level_hint: str
    cautions: tuple[Caution, ...]


def change_page(session: Session, actor: Actor, tank_id: int, kind: WaterMove) -> ChangePage:
    """Read what a change or a top-up begins with: as the last one was."""
    tank = find(session, Tank, tank_id)
    waters = open_waters(session)
    statement = (
        select(WaterChange)
        .where(
            WaterChange.fishroom_id == actor.fishroom_id,
            WaterChange.tank_id == tank.id,
            WaterChange.kind == kind,
        )
        .order_by(WaterChange.done_at.desc(), WaterChange.id.desc())
        .limit(1)
    )
    last = session.scalars(statement).one_or_none()
    poured = rows(session, Poured, Poured.change_id == last.id) if last is not None else ()
    offered = {number for number, _ in waters}
    usual = [one for one in poured if one.source_id in offered]
    first = usual[0].source_id if usual else waters[0][0] if len(waters) == 1 else None
    whole = sum(one.litres for one in usual)
    return ChangePage(
        tank.id,
        tank.name,
        tank.litres,
        waters,
        show_share(last.litres / tank.litres) if last is not None and kind is WaterMove.CHANGE else "",
        first,
        tuple((one.source_id, show_share(one.litres / whole)) for one in usual[1:]),
        (HANDS, WASTE),
    )


def dose_list(session: Session, actor: Actor, tank_id: int) -> DoseList:
    """Read what can be dosed in a tank, and how much of each is there."""
    tank = find(session, Tank, tank_id)
    ledger = tank_ledger(session, actor, tank.id)
    found = sorted(
        (one for one in ledger.substances.values() if one.retired_on is None),
        key=lambda one: (list(SubstanceKind).index(one.kind), one.name.lower()),
    )
    return DoseList(
        tank.id,
        tank.name,
        tuple(
            SubstanceToDose(
                one.id,
                one.name,
                one.kind.value,
                now_words(one, key_of(one), ledger.level(key_of(one), actor.now)),
            )
            for one in found
        ),
    )


def dose_page(session: Session, actor: Actor, tank_id: int, substance_id: int) -> DosePage:
    """Read what a dose of one substance begins with."""
    tank, substance = find(session, Tank, tank_id), find(session, Substance, substance_id)
    ledger = tank_ledger(session, actor, tank.id)
    key = key_of(substance)
    level = ledger.level(key, actor.now)
    label = substance.label_dose_per_l
    return DosePage(
        tank.id,
        tank.name,
        tank.litres,
        substance.id,
        substance.name,
        substance.measure,
        substance.kind is SubstanceKind.SALT,
        key,
        key.value if isinstance(key, Held) else substance.name,
        now_words(substance, key, level),
        "" if label is None else show_level(label, substance.measure),
        "" if label is None else show_amount(label * tank.litres, substance.measure),
        bool(gains_of(substance).get(key)) and level is not None,
        _amount_hint(substance),
        LEVEL_HINTS.get(key, EXAMPLES[substance.measure])
        if isinstance(key, Held)
        else EXAMPLES[substance.measure],
        dose_cautions(substance, tank),
    )


LEVEL_HINTS: Mapping[Key, str] = {
    Held.SALT: "3 g/L, 2 ppt or SG 1.003",
    Held.GH: "8 dH or 140 ppm",
    Held.KH: "5 dH or 90 ppm",
}


def dose_cautions(substance: Substance, tank: Tank) -> tuple[Caution, ...]:
    """Return what to mind before this substance goes into this tank."""
    return cautions_for(
        substance.hazard,
        salt=substance.kind is SubstanceKind.SALT,
        medicine=substance.kind is SubstanceKind.MEDICINE,
        mineral=substance.kind is SubstanceKind.MINERAL,
        mates=Mates(tank.planted, tank.invertebrates, tank.soft_water_mates),
    )


def now_words(substance: Substance, key: Key, level: float | None) -> str:
    """Say how much is there now."""
    if level is None:
        return f"{key.value if isinstance(key, Held) else substance.name} not known"
    if isinstance(key, Held):
        return f"{key.value} {show_held(key, level)}" if level else f"no {key.value}"
    return show_level(level, substance.measure) if level else "none in the water"


def _amount_hint(substance: Substance) -> str:
    if substance.kind is SubstanceKind.SALT:
        return "90 g, or 1 tbsp of table salt (18 g)"
    return FEW[substance.measure]

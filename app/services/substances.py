"""Substances: salts, minerals, medicines and whatever else is dosed, with their figures."""

from dataclasses import asdict, dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.water.atoms import atoms
from app.core.water.hardness import rise
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.waters import bring_back, check_figure, check_name, retire
from app.store.actor import Actor
from app.store.session import find
from app.store.waters import Dose, Hazard, Measure, Substance, SubstanceKind

LONGEST_FORMULA = 40
LONGEST_HALF_LIFE_DAYS = 3650.0
MOST_PER_UNIT = 10_000.0


@dataclass(frozen=True, slots=True)
class NewSubstance:
    """What a substance is: a pure salt by its formula, or a product by its label's figures."""

    name: str
    kind: SubstanceKind
    measure: Measure = Measure.GRAM
    hazard: Hazard = Hazard.NONE
    formula: str = ""
    gh_dh_per_unit_l: float | None = None
    kh_dh_per_unit_l: float | None = None
    label_dose_per_l: float | None = None
    half_life_days: float | None = None
    note: str = ""


def add_substance(session: Session, actor: Actor, told: NewSubstance) -> Substance:
    """Add a substance to choose from."""
    actor.must_manage()
    check_name(session, Substance, told.name, "substance")
    _check(told)
    entry = Entry(session, actor, "add substance")
    substance = entry.add(Substance(**_values(told)))
    entry.tell(f"substance:{substance.id}", f"{substance.name} added")
    return substance


def change_substance(session: Session, actor: Actor, substance_id: int, told: NewSubstance) -> Substance:
    """Put right what a substance is; its kind and measure only while it was never dosed."""
    actor.must_manage()
    substance = find(session, Substance, substance_id)
    check_name(session, Substance, told.name, "substance", but=substance.id)
    _check(told)
    if (told.kind, told.measure) != (substance.kind, substance.measure) and _dosed(session, substance):
        raise Refused(
            f"Doses of {substance.name} are logged in {substance.measure.value}. "
            "Put it away and add another for another kind or measure.",
            "measure",
        )
    entry = Entry(session, actor, "change substance")
    entry.change(substance, **_values(told))
    entry.tell(f"substance:{substance.id}", f"{substance.name} changed")
    return substance


def retire_substance(session: Session, actor: Actor, substance_id: int) -> Substance:
    """Put a substance away: its doses stay, and it is offered no more."""
    actor.must_manage()
    substance = find(session, Substance, substance_id)
    retire(Entry(session, actor, "retire substance"), substance, "substance")
    return substance


def bring_back_substance(session: Session, actor: Actor, substance_id: int) -> Substance:
    """Offer a substance again that was put away."""
    actor.must_manage()
    substance = find(session, Substance, substance_id)
    bring_back(Entry(session, actor, "bring back substance"), substance, "substance")
    return substance


def _dosed(session: Session, substance: Substance) -> bool:
    return (
        session.scalar(
            select(Dose.id)
            .where(Dose.fishroom_id == substance.fishroom_id, Dose.substance_id == substance.id)
            .limit(1)
        )
        is not None
    )


def _check(told: NewSubstance) -> None:
    formula = told.formula.strip()
    if len(formula) > LONGEST_FORMULA:
        raise Refused(f"A formula has at most {LONGEST_FORMULA} letters.", "formula")
    if formula:
        atoms(formula)
    if formula and told.kind in {SubstanceKind.SALT, SubstanceKind.MINERAL}:
        rise(formula, 1.0, 1.0)
        if told.measure is not Measure.GRAM:
            raise Refused("What goes by a formula is weighed; measure it in g.", "measure")
    if told.kind is SubstanceKind.SALT and told.measure is not Measure.GRAM:
        raise Refused("Salt is weighed; measure it in g. 1 tbsp of table salt is about 18 g.", "measure")
    check_figure(told.gh_dh_per_unit_l, MOST_PER_UNIT, "gh_dh_per_unit_l", "a label's figure")
    check_figure(told.kh_dh_per_unit_l, MOST_PER_UNIT, "kh_dh_per_unit_l", "a label's figure")
    _check_positive(told.label_dose_per_l, "label_dose_per_l", "a dose")
    _check_positive(told.half_life_days, "half_life_days", "a half-life")
    check_figure(told.half_life_days, LONGEST_HALF_LIFE_DAYS, "half_life_days", "a half-life in days")


def _check_positive(value: float | None, field: str, words: str) -> None:
    if value is not None and not value > 0:
        raise Refused(f"{value:g} cannot be {words}; give more than 0, or leave it empty.", field)


def _values(told: NewSubstance) -> dict[str, Any]:
    return {
        **asdict(told),
        "name": told.name.strip(),
        "formula": told.formula.strip(),
        "note": told.note.strip(),
    }

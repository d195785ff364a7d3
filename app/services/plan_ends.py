"""What a move or a departure means for plans: a fish that stands elsewhere is no part of them any more."""

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.services.journal import Entry
from app.store.fish import Fish
from app.store.plans import Plan, PlanFish, PlanKind
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section, Tank


def follow_fish(entry: Entry, fish: Fish, on: date) -> None:
    """End the plans that have no fish left in their tank; a quarantine follows to a quarantine tank."""
    mine = select(PlanFish.plan_id).where(PlanFish.fish_id == fish.id)
    for plan in rows(entry.session, Plan, Plan.id.in_(mine), Plan.ended_on.is_(None)):
        _follow(entry, plan, fish, on)


def _follow(entry: Entry, plan: Plan, fish: Fish, on: date) -> None:
    session = entry.session
    ids = [each.fish_id for each in rows(session, PlanFish, PlanFish.plan_id == plan.id)]
    here = rows(session, Fish, Fish.id.in_(ids), Fish.left_on.is_(None))
    stays = rows(session, Stay, Stay.fish_id.in_([one.id for one in here]), Stay.to_on.is_(None))
    sections = rows(session, Section, Section.id.in_([stay.section_id for stay in stays]))
    tank_of = {section.id: section.tank_id for section in sections}
    tanks = set(tank_of.values())
    if plan.tank_id in tanks:
        where = next((tank_of[stay.section_id] for stay in stays if stay.fish_id == fish.id), plan.tank_id)
        if where != plan.tank_id and not _goes_on(session, plan, where):
            _let_go(entry, plan, fish, on)
        return
    if plan.kind is PlanKind.QUARANTINE and len(tanks) == 1:
        (tank_id,) = tanks
        if _goes_on(session, plan, tank_id):
            entry.change(plan, tank_id=tank_id)
            return
    ended = max(on, plan.started_on)
    entry.change(plan, ended_on=ended, outcome="moved on" if here else "no fish left")
    for one in here:
        _free(entry, plan, one, ended)


def _goes_on(session: Session, plan: Plan, tank_id: int) -> bool:
    """Return whether a quarantine goes on in another tank."""
    return plan.kind is PlanKind.QUARANTINE and find(session, Tank, tank_id).quarantine


def _let_go(entry: Entry, plan: Plan, fish: Fish, on: date) -> None:
    """Take a fish that moved on out of a plan that goes on for the others."""
    for member in rows(entry.session, PlanFish, PlanFish.plan_id == plan.id, PlanFish.fish_id == fish.id):
        entry.remove(member)
    _free(entry, plan, fish, max(on, plan.started_on))


def _free(entry: Entry, plan: Plan, fish: Fish, on: date) -> None:
    """End a fish's quarantine with its plan."""
    if plan.kind is PlanKind.QUARANTINE and fish.quarantine_until is not None:
        entry.change(fish, quarantine_until=min(fish.quarantine_until, on))

"""What a move or a departure means for plans: one whose fish are all gone from its tank is over."""

from datetime import date

from sqlalchemy import select

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
        _follow(entry, plan, on)


def _follow(entry: Entry, plan: Plan, on: date) -> None:
    session = entry.session
    ids = [each.fish_id for each in rows(session, PlanFish, PlanFish.plan_id == plan.id)]
    here = rows(session, Fish, Fish.id.in_(ids), Fish.left_on.is_(None))
    stays = rows(session, Stay, Stay.fish_id.in_([one.id for one in here]), Stay.to_on.is_(None))
    sections = rows(session, Section, Section.id.in_([stay.section_id for stay in stays]))
    tanks = {section.tank_id for section in sections}
    if plan.tank_id in tanks:
        return
    if plan.kind is PlanKind.QUARANTINE and len(tanks) == 1:
        (tank_id,) = tanks
        if find(session, Tank, tank_id).quarantine:
            entry.change(plan, tank_id=tank_id)
            return
    ended = max(on, plan.started_on)
    entry.change(plan, ended_on=ended, outcome="moved on" if here else "no fish left")
    for one in here:
        if plan.kind is PlanKind.QUARANTINE and one.quarantine_until is not None:
            entry.change(one, quarantine_until=min(one.quarantine_until, ended))

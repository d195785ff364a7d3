"""Moving fish: where each fish and batch stands, from when to when."""

from collections.abc import Sequence
from datetime import date

from sqlalchemy.orm import Session

from app.core.wording import day_words, listed
from app.services import carryings, plan_ends
from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.fish import Fish
from app.store.session import find, rows
from app.store.stays import Stay
from app.store.tanks import Section, Tank


def place(
    entry: Entry, section_id: int, on: date, *, fish: Fish | None = None, batch: Batch | None = None
) -> Stay:
    """Put a fish or batch into a section, out of wherever it stood before."""
    section = find(entry.session, Section, section_id)
    if section.closed_on is not None:
        raise Refused(f"Section {section.name} was taken out. Choose another.", "section_id")
    take_out(entry, on, fish=fish, batch=batch)
    stay = entry.add(
        Stay(
            section_id=section.id,
            fish_id=fish.id if fish is not None else None,
            batch_id=batch.id if batch is not None else None,
            from_on=on,
        )
    )
    if fish is not None:
        plan_ends.follow_fish(entry, fish, on)
    return stay


def take_out(entry: Entry, on: date, *, fish: Fish | None = None, batch: Batch | None = None) -> Stay | None:
    """End the open stay of a fish or batch."""
    stay = open_stay(entry.session, fish=fish, batch=batch)
    if stay is None:
        return None
    if on < stay.from_on:
        who = fish.code if fish is not None else batch.code if batch is not None else ""
        raise Refused(
            f"{who} came to where it stands on {day_words(stay.from_on, entry.actor.today)}. "
            "Give a later day, or take that move back first.",
            "on",
        )
    entry.change(stay, to_on=on)
    return stay


def open_stay(session: Session, *, fish: Fish | None = None, batch: Batch | None = None) -> Stay | None:
    """Return where a fish or batch stands."""
    who = (
        Stay.fish_id == fish.id
        if fish is not None
        else Stay.batch_id == (batch.id if batch is not None else 0)
    )
    found = rows(session, Stay, who, Stay.to_on.is_(None))
    return found[0] if found else None


def move(
    session: Session,
    actor: Actor,
    *,
    section_id: int,
    on: date,
    fish_ids: Sequence[int] = (),
    batch_ids: Sequence[int] = (),
) -> Section:
    """Move fish and batches to a section; dams that meet males there count as exposed."""
    actor.must_log()
    not_ahead(actor, on, "on")
    if not fish_ids and not batch_ids:
        raise Refused("Choose who moves.", "who")
    section = find(session, Section, section_id)
    fish = [find(session, Fish, each) for each in fish_ids]
    batches = [find(session, Batch, each) for each in batch_ids]
    entry = Entry(session, actor, "move")
    watched = [one for one in fish if one.quarantine_until is not None and one.quarantine_until > on]
    for one in fish:
        still_here(one)
        _elsewhere(session, section, open_stay(session, fish=one), one.code)
        place(entry, section.id, on, fish=one)
    for batch in batches:
        _still_kept(batch)
        _elsewhere(session, section, open_stay(session, batch=batch), batch.code)
        place(entry, section.id, on, batch=batch)
    carryings.follow_exposure(entry, section.id, on)
    names = [one.code for one in fish] + [batch.code for batch in batches]
    subject = f"fish:{fish[0].id}" if fish else f"batch:{batches[0].id}"
    early = [one.code for one in watched if one.quarantine_until is not None and one.quarantine_until <= on]
    freed = f", which ends the quarantine of {listed(early)}" if early else ""
    entry.tell(subject, f"{listed(names)} moved to {section_words(session, section)}{freed}")
    return section


def still_here(fish: Fish) -> None:
    """Refuse to do anything with a fish that left."""
    if fish.left_on is not None:
        raise Refused(f"{fish.code} left on {day_words(fish.left_on)}. Take that back first.", "who")


def _still_kept(batch: Batch) -> None:
    if batch.closed_on is not None:
        raise Refused(
            f"{batch.code} was closed on {day_words(batch.closed_on)}. Take that back first.", "who"
        )


def _elsewhere(session: Session, section: Section, stay: Stay | None, who: str) -> None:
    """Refuse to move somebody to where it stands."""
    if stay is not None and stay.section_id == section.id:
        raise Refused(f"{who} stands in {section_words(session, section)} already. Leave it out.", "who")


def not_ahead(actor: Actor, on: date, field: str) -> None:
    """Refuse a day that has not come yet."""
    if on > actor.today:
        raise Refused(
            f"{day_words(on, actor.today)} is still ahead; today is {day_words(actor.today)}. "
            "Log it when it has happened.",
            field,
        )


def section_words(session: Session, section: Section) -> str:
    """Return how people call a section: the tank's name, and the section's where there are several."""
    tank = find(session, Tank, section.tank_id)
    return tank.name if section.name == "main" else f"{tank.name} {section.name}"

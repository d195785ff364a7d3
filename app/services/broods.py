"""Drops: logging one, and correcting its dates and numbers."""

from collections.abc import Sequence
from datetime import date
from enum import StrEnum

from sqlalchemy.orm import Session

from app.core.problems import Problem
from app.core.species import SPECIES, Species
from app.core.wording import day_words, many
from app.queries.books import books
from app.queries.pairings import pairing_behind
from app.services import carryings
from app.services.drop_checks import Drop, check_drop
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import open_stay, place
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fish import Fish
from app.store.lines import Line
from app.store.session import find, rows
from app.store.stays import Stay


class Movers(StrEnum):
    """Who is taken away from the fry."""

    ALL = "all adults there"
    DAM = "the dam only"


def log_drop(
    session: Session,
    actor: Actor,
    *,
    dam_id: int,
    dropped_from: date,
    dropped_to: date | None = None,
    live: int,
    dead: int = 0,
    early: int = 0,
    section_id: int | None = None,
    parents_moved_to: int | None = None,
    movers: Movers = Movers.ALL,
    note: str = "",
    sooner: bool = False,
) -> Brood:
    """Log a drop: the wait it ends, the fry as a batch where they are, parents out, the next wait.

    ``dropped_to`` is given where the drop was not seen but fell between two days; ``sooner`` says
    that a drop soon after the last one is meant.
    """
    actor.must_log()
    dam = find(session, Fish, dam_id)
    species = _species(session, dam)
    drop = Drop(dropped_from, dropped_to or dropped_from, live, dead, early)
    others = rows(session, Brood, Brood.dam_id == dam.id)
    check_drop(actor, dam, species, drop, others, sooner=sooner)
    entry = Entry(session, actor, "log drop")
    brood = entry.add(_brood(session, dam, drop, len(others) + 1, note))
    ended = carryings.follow_drop(entry, dam, brood)
    pairing = pairing_behind(session, dam, ended, drop.dropped_to, species)
    if pairing is not None:
        entry.change(brood, pairing_id=pairing.id)
    here = section_id if section_id is not None else _stood(session, dam, drop.dropped_to)
    if live:
        _make_batch(entry, brood, here)
    if parents_moved_to is not None:
        _move_out(entry, dam, here, parents_moved_to, drop.dropped_to, movers)
    entry.tell(f"brood:{brood.id}", f"{dam.code} dropped {_told(brood, actor.today)}")
    return brood


def _species(session: Session, dam: Fish) -> Species:
    return SPECIES[find(session, Line, dam.line_id).species]


def _brood(session: Session, dam: Fish, drop: Drop, number: int, note: str) -> Brood:
    return Brood(
        dam_id=dam.id,
        line_id=dam.line_id,
        code=_free_code(session, dam.code, number),
        dropped_from=drop.dropped_from,
        dropped_to=drop.dropped_to,
        live=drop.live,
        dead=drop.dead,
        early=drop.early,
        note=note.strip(),
    )


def _free_code(session: Session, dam_code: str, number: int) -> str:
    """Return the dam's code and the brood's number, counted on while another brood or batch has it."""
    taken = {row.code for row in rows(session, Batch, Batch.code.startswith(f"{dam_code}-"))}
    taken |= {row.code for row in rows(session, Brood, Brood.code.startswith(f"{dam_code}-"))}
    while f"{dam_code}-{number}" in taken:
        number += 1
    return f"{dam_code}-{number}"


def _told(brood: Brood, today: date) -> str:
    """Return when and how many, in words."""
    seen = brood.dropped_from == brood.dropped_to
    when = (
        f"on {day_words(brood.dropped_to, today)}"
        if seen
        else f"between {day_words(brood.dropped_from, today)} and {day_words(brood.dropped_to, today)}"
    )
    more = [f"{number} {word}" for number, word in ((brood.dead, "dead"), (brood.early, "early")) if number]
    return f"{when}: {', '.join([f'{brood.live} live', *more])}"


def _stood(session: Session, dam: Fish, on: date) -> int | None:
    """Return the section a dam stood in on a day, else where she stands now."""
    stays = rows(session, Stay, Stay.fish_id == dam.id, order=(Stay.from_on, Stay.id))
    then = [stay for stay in stays if stay.from_on <= on and (stay.to_on is None or stay.to_on >= on)]
    now = [stay for stay in stays if stay.to_on is None]
    found = then or now
    return found[-1].section_id if found else None


def _make_batch(entry: Entry, brood: Brood, section_id: int | None) -> None:
    """Keep the live fry as a batch where they are."""
    if section_id is None:
        raise Refused("Where are the fry? Choose a tank or section.", "section_id")
    batch = entry.add(
        Batch(
            line_id=brood.line_id,
            brood_id=brood.id,
            code=brood.code,
            born_from=brood.dropped_from,
            born_to=brood.dropped_to,
            started_on=brood.dropped_to,
            start_count=brood.live,
            logged_at=entry.actor.now,
        )
    )
    place(entry, section_id, brood.dropped_to, batch=batch)


def _move_out(entry: Entry, dam: Fish, here: int | None, to: int, on: date, movers: Movers) -> None:
    """Take the dam, or every adult that stands with the fry, to another section."""
    session = entry.session
    if to == here:
        raise Refused("The fry are there. Choose another place, or leave it empty.", "parents_moved_to")
    her = open_stay(session, fish=dam)
    stays = [her] if her is not None else []
    if movers is Movers.ALL and her is not None and her.section_id == here:
        stays = list(
            rows(session, Stay, Stay.section_id == here, Stay.to_on.is_(None), Stay.fish_id.is_not(None))
        )
    days = [on]
    for stay in stays:
        if stay.section_id != to:
            days.append(max(on, stay.from_on))
            place(entry, to, days[-1], fish=find(session, Fish, stay.fish_id))
    carryings.follow_exposure(entry, to, max(days))


def correct_drop(
    session: Session,
    actor: Actor,
    brood_id: int,
    *,
    dropped_from: date,
    dropped_to: date | None = None,
    live: int,
    dead: int = 0,
    early: int = 0,
    note: str = "",
    sooner: bool = False,
) -> Brood:
    """Correct the dates and numbers of a drop; waits and batch follow, and the batch's book must hold."""
    actor.must_log()
    brood = find(session, Brood, brood_id)
    dam = find(session, Fish, brood.dam_id)
    drop = Drop(dropped_from, dropped_to or dropped_from, live, dead, early)
    others = rows(session, Brood, Brood.dam_id == dam.id, Brood.id != brood.id)
    check_drop(actor, dam, _species(session, dam), drop, others, sooner=sooner)
    _same_order(brood, drop, others)
    was_on = brood.dropped_to
    entry = Entry(session, actor, "correct drop")
    entry.change(
        brood,
        dropped_from=drop.dropped_from,
        dropped_to=drop.dropped_to,
        live=live,
        dead=dead,
        early=early,
        note=note.strip(),
    )
    carryings.redate(entry, dam, brood, was_on)
    _correct_batches(entry, dam, brood, was_on)
    entry.tell(f"brood:{brood.id}", f"{brood.code} corrected: {_told(brood, actor.today)}")
    return brood


def _same_order(brood: Brood, drop: Drop, others: Sequence[Brood]) -> None:
    """Refuse a date that would put the drop on the other side of a neighbour."""
    for other in others:
        if (other.dropped_from < brood.dropped_from) != (other.dropped_from < drop.dropped_from):
            raise Refused(
                f"That would put it on the other side of {other.code}. Take this drop back and log it anew.",
                "dropped_from",
            )


def _correct_batches(entry: Entry, dam: Fish, brood: Brood, was_on: date) -> None:
    """Let the batches of a brood follow its dates, and the first of them its number."""
    session = entry.session
    batches = rows(session, Batch, Batch.brood_id == brood.id)
    for batch in batches:
        entry.change(batch, born_from=brood.dropped_from, born_to=brood.dropped_to)
    first = next((batch for batch in batches if batch.parent_id is None), None)
    if first is None:
        if brood.live:
            _make_batch(entry, brood, _stood(session, dam, brood.dropped_to))
        return
    _restart(entry, first, brood, was_on)
    try:
        books(session, entry.actor.fishroom_id, [batch.id for batch in batches])
    except Problem as problem:
        raise Refused(
            f"The book of {first.code} would no longer add up: {problem.message}", "live"
        ) from problem


def _restart(entry: Entry, batch: Batch, brood: Brood, was_on: date) -> None:
    """Let a batch begin with other numbers, or on another day."""
    if batch.start_count and not brood.live:
        raise Refused(
            f"The {many(batch.start_count, 'live fry', 'live fry')} are the batch {batch.code}. "
            "Log them as lost there, or take the drop back.",
            "live",
        )
    entry.change(batch, started_on=brood.dropped_to, start_count=brood.live)
    stays = rows(entry.session, Stay, Stay.batch_id == batch.id, order=(Stay.from_on, Stay.id))
    if not stays or stays[0].from_on != was_on:
        return
    if stays[0].to_on is not None and stays[0].to_on < brood.dropped_to:
        raise Refused(
            f"{batch.code} was moved on {day_words(stays[0].to_on, entry.actor.today)}. Give that day or "
            "earlier, or take that move back first.",
            "dropped_to",
        )
    entry.change(stays[0], from_on=brood.dropped_to)

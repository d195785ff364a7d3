"""What happened to one fish: it came, moved, was paired, showed signs, dropped, left."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.wording import listed, many, span_words
from app.queries.case_links import case_events
from app.queries.history import Event, act_of_rows, undoable
from app.queries.occupants import label_of
from app.queries.sections import Place
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.fish import Fish, Origin
from app.store.journal import Act
from app.store.pairings import Pairing, PairingMember
from app.store.session import rows
from app.store.signs import Sign
from app.store.stays import Stay

PAIRS = {"make pairing", "add to pairing"}
KINDS = {"fish left": "lost", "rehome": "rehomed", "settle carrying": "waiting"}


@dataclass(frozen=True, slots=True)
class _Told:
    """The rows a history is told from; ``acts`` are those that made them, by number."""

    actor: Actor
    fish: Fish
    where: dict[int, Place]
    stays: Sequence[Stay]
    signs: Sequence[Sign]
    broods: Sequence[Brood]
    made: dict[tuple[str, int], int]
    acts: dict[int, Act]

    def act(self, table: str, row_id: int) -> Act | None:
        """Return the act that made a row."""
        return self.acts.get(self.made.get((table, row_id), 0))

    def undo(self, act: Act | None) -> int | None:
        """Return the number of an act that this member may take back."""
        return undoable(self.actor, act)


def fish_history(session: Session, actor: Actor, fish: Fish, where: dict[int, Place]) -> tuple[Event, ...]:
    """Tell a fish's history, newest first, in a fixed number of reads."""
    told = _read(session, actor, fish, where)
    pairings, shown = _paired(session, told)
    events = [
        _came(told),
        *_moves(told),
        *pairings,
        *_signs(told),
        *_drops(told),
        *_acts(session, told, shown),
        *case_events(session, fish_ids=[fish.id]),
    ]
    return tuple(sorted(events, key=lambda event: (event.day, event.act_id or 0), reverse=True))


def _read(session: Session, actor: Actor, fish: Fish, where: dict[int, Place]) -> _Told:
    stays = rows(session, Stay, Stay.fish_id == fish.id, order=(Stay.from_on, Stay.id))
    signs = rows(session, Sign, Sign.fish_id == fish.id)
    broods = rows(session, Brood, Brood.dam_id == fish.id)
    tables: dict[str, Iterable[int]] = {
        "fish": [fish.id],
        "stay": [stay.id for stay in stays],
        "sign": [sign.id for sign in signs],
        "brood": [brood.id for brood in broods],
    }
    made = {
        (table, row_id): act_id
        for table, ids in tables.items()
        for row_id, act_id in act_of_rows(session, actor, table, list(ids)).items()
    }
    acts = {act.id: act for act in rows(session, Act, Act.id.in_(set(made.values())))}
    return _Told(actor, fish, where, stays, signs, broods, made, acts)


def _came(told: _Told) -> Event:
    fish, act = told.fish, told.act("fish", told.fish.id)
    first = f" into {told.where[told.stays[0].section_id].words}" if told.stays else ""
    homebred = fish.origin is Origin.HOMEBRED
    words = f"Kept as broodstock{first}" if homebred else f"Came{first}, {fish.origin.value}"
    kind = "quarantine" if fish.quarantine_until is not None else "adult"
    return Event(fish.arrived_on, words, fish.source, kind, None, told.undo(act))


def _moves(told: _Told) -> list[Event]:
    """Tell the moves; the first stay belongs to the arrival, those of a pairing to the pairing."""
    events = []
    for stay in told.stays[1:]:
        act = told.act("stay", stay.id)
        if act is not None and act.verb in PAIRS:
            continue
        undo = told.undo(act) if act is not None and act.verb == "move" else None
        words = f"Moved to {told.where[stay.section_id].words}"
        events.append(Event(stay.from_on, words, "", "adult", None, undo))
    return events


def _paired(session: Session, told: _Told) -> tuple[list[Event], set[int]]:
    """Tell the pairings; their acts are not told again."""
    mine = select(PairingMember.pairing_id).where(PairingMember.fish_id == told.fish.id)
    pairings = rows(session, Pairing, Pairing.id.in_(mine))
    statement = (
        select(PairingMember.pairing_id, Fish)
        .join(Fish, Fish.id == PairingMember.fish_id)
        .where(
            PairingMember.fishroom_id == told.actor.fishroom_id,
            PairingMember.pairing_id.in_(mine),
            Fish.sex != told.fish.sex,
        )
        .order_by(PairingMember.id)
    )
    mates: dict[int, list[str]] = {}
    for pairing_id, mate in session.execute(statement):
        mates.setdefault(pairing_id, []).append(label_of(mate))
    made = act_of_rows(session, told.actor, "pairing", [pairing.id for pairing in pairings])
    acts = {act.id: act for act in rows(session, Act, Act.id.in_(set(made.values())))}
    events = []
    for pairing in pairings:
        names, where = listed(mates.get(pairing.id, [])), told.where[pairing.section_id].words
        undo, url = told.undo(acts.get(made.get(pairing.id, 0))), ("pairings.page", pairing.id)
        begun = f"Put with {names} in {where}"
        events.append(Event(pairing.started_on, begun, pairing.note, "carrying", url, undo))
        if pairing.ended_on is not None:
            events.append(Event(pairing.ended_on, f"Pairing with {names} ended", "", "closed", url, None))
    return events, set(acts)


def _signs(told: _Told) -> list[Event]:
    return [
        Event(
            sign.seen_on,
            f"{sign.kind.value.capitalize()} seen",
            sign.note,
            "carrying",
            None,
            told.undo(told.act("sign", sign.id)),
        )
        for sign in told.signs
    ]


def _drops(told: _Told) -> list[Event]:
    return [
        Event(
            brood.dropped_to,
            f"Dropped {_numbers(brood)}",
            _between(told.actor, brood),
            "drop",
            ("broods.page", brood.id),
            told.undo(told.act("brood", brood.id)),
        )
        for brood in told.broods
    ]


def _numbers(brood: Brood) -> str:
    more = [f"{number} {word}" for number, word in ((brood.dead, "dead"), (brood.early, "early")) if number]
    return listed([many(brood.live, "live fry", "live fry"), *more])


def _between(actor: Actor, brood: Brood) -> str:
    if brood.dropped_from == brood.dropped_to:
        return brood.note
    span = span_words(brood.dropped_from, brood.dropped_to, actor.today)
    return f"On one of these days: {span}. {brood.note}".strip()


def _acts(session: Session, told: _Told, shown: set[int]) -> list[Event]:
    """Tell what else was done on this fish's page: corrected, settled, left."""
    fish = told.fish
    acts = rows(session, Act, Act.subject == f"fish:{fish.id}", Act.undone_at.is_(None))
    told_already = set(told.acts) | shown
    return [
        Event(_day(told, act), act.words, "", KINDS.get(act.verb, "note"), None, told.undo(act))
        for act in acts
        if act.id not in told_already
    ]


def _day(told: _Told, act: Act) -> date:
    """Return the day an act is about: the fish's leaving, else the day it was logged."""
    if told.fish.left_on is not None and act.verb in {"fish left", "rehome"}:
        return told.fish.left_on
    return told.actor.day(act.at)

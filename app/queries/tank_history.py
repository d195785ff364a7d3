"""What happened in one tank: who came, moved in, out and on, drops, sections, and temperatures by season."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from app.core.wording import listed, many
from app.queries.case_links import case_events
from app.queries.history import Event, act_of_rows, undoable
from app.queries.occupants import label_of
from app.queries.sections import Place, places
from app.queries.tank_seasons import seasons
from app.store.actor import Actor
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.fish import Fish
from app.store.journal import Act
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Tank

SHOWN = 60
"""So many entries, the newest, unless all are asked for."""
NOT_TOLD = {
    "log reading", "remove reading", "move", "log drop",
    "change water", "top up", "dose", "test water", "trust test",
}  # fmt: skip
"""Acts on the tank's own page that the rows themselves tell better."""


@dataclass(frozen=True, slots=True)
class _Spell:
    """A stay in the tank with whose it is, where they went next, and the acts around it."""

    stay: Stay
    who: str
    first: bool
    came_from: int | None
    went_to: int | None
    left: str
    act_in: int | None
    act_out: int | None


@dataclass(frozen=True, slots=True)
class _Told:
    """What a history is told from."""

    actor: Actor
    tank: Tank
    where: dict[int, Place]
    acts: dict[int, Act]

    def inside(self, section_id: int | None) -> bool:
        """Say whether a section is this tank's."""
        return section_id is not None and self.where[section_id].tank_id == self.tank.id

    def undo(self, act_id: int | None, *verbs: str) -> int | None:
        """Return the number of an act that this member may take back from here."""
        act = self.acts.get(act_id or 0)
        if act is not None and verbs and act.verb not in verbs:
            return None
        return undoable(self.actor, act)


def tank_history(
    session: Session, actor: Actor, tank: Tank, *, every: bool = False
) -> tuple[tuple[Event, ...], bool]:
    """Tell a tank's history, newest first, and say whether there is more of it."""
    where = places(session, actor)
    spells = _spells(session, actor, tank, where)
    drops = _drops_here(session, actor, tank, where)
    made = act_of_rows(session, actor, "brood", [brood.id for brood, _ in drops])
    own = rows(session, Act, Act.subject == f"tank:{tank.id}", Act.undone_at.is_(None))
    wanted = {act for spell in spells for act in (spell.act_in, spell.act_out) if act} | set(made.values())
    acts = {act.id: act for act in (*rows(session, Act, Act.id.in_(wanted)), *own)}
    told = _Told(actor, tank, where, acts)
    events = [
        *_moves(told, spells),
        *_drops(told, drops, made),
        *_acts(told, own),
        *seasons(session, actor, tank),
        *case_events(session, tank_ids=[tank.id]),
    ]
    events.sort(key=lambda event: (event.day, event.act_id or 0), reverse=True)
    return (tuple(events), False) if every else (tuple(events[:SHOWN]), len(events) > SHOWN)


def _spells(session: Session, actor: Actor, tank: Tank, where: dict[int, Place]) -> list[_Spell]:
    """Read every stay of whoever ever stood here, so that each one's coming and going is known."""
    sections = [place.section_id for place in where.values() if place.tank_id == tank.id]
    here = aliased(Stay)
    statement = (
        select(Stay, Fish, Batch)
        .outerjoin(Fish, Fish.id == Stay.fish_id)
        .outerjoin(Batch, Batch.id == Stay.batch_id)
        .where(
            Stay.fishroom_id == actor.fishroom_id,
            Stay.fish_id.in_(select(here.fish_id).where(here.section_id.in_(sections)))
            | Stay.batch_id.in_(select(here.batch_id).where(here.section_id.in_(sections))),
        )
        .order_by(Stay.from_on, Stay.id)
    )
    chains: dict[tuple[str, int], list[tuple[Stay, Fish | None, Batch | None]]] = defaultdict(list)
    for stay, fish, batch in session.execute(statement):
        key = ("fish", fish.id) if fish is not None else ("batch", batch.id)
        chains[key].append((stay, fish, batch))
    made = act_of_rows(session, actor, "stay", [s.id for chain in chains.values() for s, _, _ in chain])
    return [
        _spell(chain, number, made)
        for chain in chains.values()
        for number in range(len(chain))
        if where[chain[number][0].section_id].tank_id == tank.id
    ]


def _spell(chain: list[tuple[Stay, Fish | None, Batch | None]], number: int, made: dict[int, int]) -> _Spell:
    stay, fish, batch = chain[number]
    before = chain[number - 1][0] if number else None
    after = chain[number + 1][0] if number + 1 < len(chain) else None
    return _Spell(
        stay,
        label_of(fish) if fish is not None else batch.code if batch is not None else "",
        before is None,
        before.section_id if before is not None and before.to_on == stay.from_on else None,
        after.section_id if after is not None and after.from_on == stay.to_on else None,
        _left(fish, batch) if after is None and stay.to_on is not None else "",
        made.get(stay.id),
        made.get(after.id) if after is not None else None,
    )


def _left(fish: Fish | None, batch: Batch | None) -> str:
    if fish is not None:
        return fish.departure.value if fish.departure is not None else "taken out"
    return "all gone" if batch is not None and batch.closed_on is not None else "taken out"


Key = tuple[date, str, str, int | None]


def _moves(told: _Told, spells: Iterable[_Spell]) -> list[Event]:
    """Tell comings and goings; those of one act and one kind are one entry."""
    groups: dict[Key, list[str]] = defaultdict(list)
    for spell in spells:
        groups[_coming(told, spell)].append(spell.who)
        going = _going(told, spell)
        if going is not None:
            groups[going].append(spell.who)
    return [
        Event(day, f"{listed(names)} {words}", "", kind, None, told.undo(act, "move"))
        for (day, words, kind, act), names in groups.items()
    ]


def _coming(told: _Told, spell: _Spell) -> Key:
    part = _part(told, spell.stay.section_id)
    if spell.first:
        return spell.stay.from_on, f"came{part}", "adult", spell.act_in
    if spell.came_from is None:
        return spell.stay.from_on, f"put in{part}", "adult", spell.act_in
    origin = told.where[spell.came_from].words
    return spell.stay.from_on, f"moved in{part} from {origin}", "adult", spell.act_in


def _going(told: _Told, spell: _Spell) -> Key | None:
    """Return the leaving, unless they stayed in this tank; that is told once, as a coming."""
    if spell.stay.to_on is None or told.inside(spell.went_to):
        return None
    if spell.went_to is not None:
        return spell.stay.to_on, f"moved to {told.where[spell.went_to].words}", "closed", spell.act_out
    kind = {"died": "lost", "lost": "lost", "rehomed": "rehomed"}.get(spell.left, "closed")
    return spell.stay.to_on, f"left: {spell.left or 'taken out'}", kind, None


def _part(told: _Told, section_id: int) -> str:
    words = told.where[section_id].words.removeprefix(told.tank.name).strip()
    return f" to {words}" if words else ""


def _drops_here(
    session: Session, actor: Actor, tank: Tank, where: dict[int, Place]
) -> list[tuple[Brood, Fish]]:
    """Return the broods whose dam stood in this tank on the day of the drop."""
    sections = [place.section_id for place in where.values() if place.tank_id == tank.id]
    statement = (
        select(Brood, Fish)
        .join(Fish, Fish.id == Brood.dam_id)
        .join(
            Stay,
            (Stay.fish_id == Brood.dam_id)
            & (Stay.from_on <= Brood.dropped_to)
            & (Stay.to_on.is_(None) | (Stay.to_on >= Brood.dropped_to)),
        )
        .where(Brood.fishroom_id == actor.fishroom_id, Stay.section_id.in_(sections))
        .distinct()
        .order_by(Brood.id)
    )
    return [(brood, dam) for brood, dam in session.execute(statement)]


def _drops(told: _Told, drops: list[tuple[Brood, Fish]], made: dict[int, int]) -> list[Event]:
    return [
        Event(
            brood.dropped_to,
            f"{label_of(dam)} dropped {many(brood.live, 'live fry', 'live fry')}",
            "",
            "drop",
            ("broods.page", brood.id),
            told.undo(made.get(brood.id)),
        )
        for brood, dam in drops
    ]


def _acts(told: _Told, acts: Iterable[Act]) -> list[Event]:
    """Tell what was done to the tank itself."""
    return [
        Event(told.actor.day(act.at), act.words, "", _kind(act), None, told.undo(act.id))
        for act in acts
        if act.verb not in NOT_TOLD
    ]


def _kind(act: Act) -> str:
    return "waiting" if act.verb == "add tank" else "note"

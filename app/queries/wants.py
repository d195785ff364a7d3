"""People waiting for fish: what each wants, which batch could give it, and how many it may promise."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement
from sqlalchemy.orm import Session

from app.core.survival import survival
from app.core.wording import many, window_words
from app.queries.books import events_of
from app.queries.choices import Choices
from app.queries.outlook import BatchOutlook, batch_outlooks
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.lines import Line
from app.store.session import find, rows
from app.store.wants import Want

CSV_HEAD = ("who", "line", "sexes", "number", "since", "promised from", "note")


@dataclass(frozen=True, slots=True)
class Offer:
    """A batch that could give fish: how many of it will likely be there to go, and how many are promised.

    ``likely`` are those alive when the first come to size, or more, in 9 of 10 cases like it. Of a batch
    that is not sexed half are counted for each sex.
    """

    batch_id: int
    code: str
    line_id: int
    sex: BatchSex
    likely: int
    promised: int
    promised_by_sex: Mapping[BatchSex, int]
    ready: str
    ready_on: date | None

    @property
    def short(self) -> int:
        """How many more are promised than will likely be there."""
        return max(0, self.promised - self.likely)

    def left(self, want: Want) -> int:
        """Return how many can be promised to someone, whatever of it was promised to them before."""
        own, sex = want.number if want.batch_id == self.batch_id else 0, want.sex
        rest = self.likely - self.promised
        if self.sex is BatchSex.MIXED and sex is not BatchSex.MIXED:
            rest = min(rest, self.likely // 2 - self.promised_by_sex.get(sex, 0))
        return max(0, rest + own) if fits(self.sex, sex) else 0


@dataclass(frozen=True, slots=True)
class Waiting:
    """Someone who waits; ``from_code`` is the promised batch, ``next`` says what could serve them."""

    id: int
    who: str
    number: int
    sex: BatchSex
    line: str
    since: date
    note: str
    batch_id: int | None
    from_code: str
    next: str

    @property
    def wants(self) -> str:
        """Say how many of what."""
        return want_words(self.number, self.sex)


@dataclass(frozen=True, slots=True)
class WantPage:
    """One wish, and the batches that could give it."""

    waiting: Waiting
    line_id: int
    over: str
    offers: Choices
    rehome_from: int | None


def fits(batch: BatchSex, wanted: BatchSex) -> bool:
    """Say whether fish of the wanted sex can be of such a batch."""
    return BatchSex.MIXED in (batch, wanted) or batch is wanted


def want_words(number: int, sex: BatchSex) -> str:
    """Return ``4 females``, ``1 male`` or ``6 fish``."""
    return many(number, "fish", "fish") if sex is BatchSex.MIXED else many(number, sex.value[:-1])


def open_wants(session: Session, *conditions: ColumnElement[bool]) -> Sequence[Want]:
    """Return who waits, longest first."""
    return rows(session, Want, Want.ended_on.is_(None), *conditions, order=(Want.since_on, Want.id))


def offers(
    session: Session, actor: Actor, outlooks: Mapping[int, BatchOutlook], wants: Iterable[Want]
) -> dict[int, Offer]:
    """Return what each living batch can give, by what its book says of those that live on until then.

    Fish that are promised and not yet gone are counted once more against what is left of the batch.
    """
    promised: dict[int, dict[BatchSex, int]] = defaultdict(lambda: defaultdict(int))
    for want in wants:
        if want.batch_id is not None:
            promised[want.batch_id][want.sex] += want.number
    living = {key: one for key, one in outlooks.items() if one.ledger.alive}
    events = events_of(session, actor.fishroom_id, list(living))
    found = {}
    for batch_id, outlook in living.items():
        ready, book = outlook.ready.window_80, events[batch_id]
        until = max(actor.today, ready.start if ready else actor.today, *(event.day for event in book))
        when = "ready now" if ready is None or ready.end <= actor.today else window_words(ready, actor.today)
        batch, mine = outlook.case.batch, promised[batch_id]
        found[batch_id] = Offer(
            batch_id, batch.code, batch.line_id, batch.sex, survival(book, until).forecast.p10,
            sum(mine.values()), dict(mine), when, ready.start if ready else None,
        )  # fmt: skip
    return found


def fitting(want: Want, found: Mapping[int, Offer]) -> list[Offer]:
    """Return the batches that could give what someone wants, the soonest ready first."""
    mine = [one for one in found.values() if one.line_id == want.line_id and fits(one.sex, want.sex)]
    return sorted(mine, key=lambda one: (one.ready_on or date.max, one.code))


def waiting_list(session: Session, actor: Actor, outlooks: Mapping[int, BatchOutlook]) -> tuple[Waiting, ...]:
    """Return everyone who waits, with what could serve them."""
    wants = open_wants(session)
    if not wants:
        return ()
    found = offers(session, actor, outlooks, wants)
    names = {line.id: line.name for line in rows(session, Line)}
    return tuple(_waiting(want, names[want.line_id], found) for want in wants)


def _waiting(want: Want, line: str, found: Mapping[int, Offer]) -> Waiting:
    promised = found.get(want.batch_id or 0)
    return Waiting(
        want.id, want.who, want.number, want.sex, line, want.since_on, want.note, want.batch_id,
        promised.code if promised else "", _next(want, promised, found),
    )  # fmt: skip


def _next(want: Want, promised: Offer | None, found: Mapping[int, Offer]) -> str:
    if promised is not None:
        over = f"; {promised.short} more are promised than will likely be there" if promised.short else ""
        return f"promised from {promised.code}, {promised.ready}{over}"
    if want.batch_id is not None:
        return "promised from a batch that is gone: promise from another"
    could = next((one for one in fitting(want, found) if one.left(want)), None)
    return f"{could.code} could give them, {could.ready}" if could else "no batch here can give them yet"


def want_page(session: Session, actor: Actor, want_id: int) -> WantPage:
    """Read one wish and what could serve it."""
    want = find(session, Want, want_id)
    found = offers(session, actor, batch_outlooks(session, actor), open_wants(session))
    line, could = find(session, Line, want.line_id), fitting(want, found)
    first = next((one.batch_id for one in could if one.left(want)), None)
    return WantPage(
        _waiting(want, line.name, found),
        line.id,
        "" if want.ended_on is None else "served" if want.rehoming_id else "taken off the list",
        tuple((one.batch_id, _offered(one, want)) for one in could),
        want.batch_id if want.batch_id in found else first,
    )


def _offered(one: Offer, want: Want) -> str:
    return f"{one.code}, {one.ready}: {many(one.left(want), 'fish', 'fish')} can be promised"


def asked(session: Session, actor: Actor, want_id: int) -> Want:
    """Return a wish that is about to be changed or served."""
    actor.must_log()
    return find(session, Want, want_id)


def wants_of_batch(session: Session, batch_id: int) -> tuple[tuple[int, str], ...]:
    """Return who waits for fish like those of a batch: promised from it first, then of its line."""
    batch = find(session, Batch, batch_id)
    mine = [
        want
        for want in open_wants(session, Want.line_id == batch.line_id)
        if want.batch_id in (None, batch.id) and fits(batch.sex, want.sex)
    ]
    mine.sort(key=lambda want: want.batch_id is None)
    return tuple((want.id, f"{want.who}: {want_words(want.number, want.sex)}") for want in mine)


def who_waits(
    session: Session, outlooks: Mapping[int, BatchOutlook]
) -> tuple[dict[int, list[tuple[int, str]]], dict[int, int]]:
    """Return who waits for each batch, and how many of it are promised.

    Who was promised nothing waits for the first batch of the line that comes to size.
    """
    waiting: dict[int, list[tuple[int, str]]] = defaultdict(list)
    promised: dict[int, int] = defaultdict(int)
    for want in open_wants(session):
        batch_id = want.batch_id if want.batch_id in outlooks else _first_ready(want, outlooks)
        if batch_id is not None:
            waiting[batch_id].append((want.id, f"{want.who} for {want_words(want.number, want.sex)}"))
        if want.batch_id is not None:
            promised[want.batch_id] += want.number
    return waiting, promised


def _first_ready(want: Want, outlooks: Mapping[int, BatchOutlook]) -> int | None:
    fit = [
        (one.ready.window_80.start, batch_id)
        for batch_id, one in outlooks.items()
        if one.ledger.alive
        and one.ready.window_80 is not None
        and one.case.batch.line_id == want.line_id
        and fits(one.case.batch.sex, want.sex)
    ]
    return min(fit, default=(None, None))[1]


def wants_table(waiting: Iterable[Waiting]) -> Iterable[tuple[str, ...]]:
    """Return who waits as rows of a file."""
    return (
        (one.who, one.line, "either" if one.sex is BatchSex.MIXED else one.sex.value, str(one.number),
         one.since.isoformat(), one.from_code, one.note)
        for one in waiting
    )  # fmt: skip

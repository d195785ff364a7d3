"""Parting a batch: some into a batch of their own, the sexes from each other, one fry into the broodstock."""

from datetime import date, datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core import batches as book
from app.core.crossing import mature
from app.core.species import SPECIES
from app.core.wording import day_words, listed, many
from app.services import carryings
from app.services.batch_books import STEP, check_entry, ledger_of, settle
from app.services.codes import check_codes, next_codes
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead, open_stay, place, section_words
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex, Count, Keeping
from app.store.broods import Brood
from app.store.fish import Fish, Origin, Precision, Sex, WithMales
from app.store.lines import Line
from app.store.pairings import PairingMember
from app.store.session import find, rows
from app.store.tanks import Section

LONGEST = 40
SEX_LETTERS = {BatchSex.FEMALES: "F", BatchSex.MALES: "M"}
PRECISE = ((0, Precision.DAY), (7, Precision.WEEK), (31, Precision.MONTH))


def split(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    number: int,
    sex: BatchSex | None = None,
    section_id: int | None = None,
    code: str = "",
) -> Batch:
    """Move some fish into a batch of their own, as they are or told apart; here unless a place is given."""
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    moment = check_entry(session, actor, batch, book.split_out(on, number), "number")
    entry = Entry(session, actor, "split batch")
    child = _part(entry, batch, on, number, sex or batch.sex, section_id, code, moment)
    settle(entry, batch)
    section = find(session, Section, _where(session, batch, child, section_id))
    words = f"{batch.code}: {number} split off as {child.code}, in {section_words(session, section)}"
    entry.tell(f"batch:{batch.id}", words)
    return child


def sort_sexes(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    females: int,
    males: int,
    females_section_id: int | None = None,
    males_section_id: int | None = None,
    females_code: str = "",
    males_code: str = "",
) -> tuple[Batch | None, Batch | None]:
    """Part the females and the males that can be told; those that cannot stay in the batch."""
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    if batch.sex is not BatchSex.MIXED:
        raise Refused(f"{batch.code} is a batch of {batch.sex.value} already.", "females")
    if min(females, males) < 0 or not females + males:
        raise Refused("How many females and males did you find? Give at least one.", "females")
    moment = check_entry(session, actor, batch, book.split_out(on, females + males), "females")
    entry = Entry(session, actor, "sort sexes")
    _note_count(entry, batch, on, females, males, moment)
    ways = (
        (BatchSex.FEMALES, females, females_section_id, females_code),
        (BatchSex.MALES, males, males_section_id, males_code),
    )
    parts = [
        _part(entry, batch, on, number, sex, where, code, moment + STEP * step) if number else None
        for step, (sex, number, where, code) in enumerate(ways, start=1)
    ]
    left = settle(entry, batch).alive
    told = [many(number, word) for number, word in ((females, "female"), (males, "male")) if number]
    rest = f", {left} not told yet" if left else ""
    entry.tell(f"batch:{batch.id}", f"{batch.code} sorted: {listed(told)}{rest}")
    return parts[0], parts[1]


def _note_count(entry: Entry, batch: Batch, on: date, females: int, males: int, moment: datetime) -> None:
    """Keep the sexing as a count of what the book holds on that day, so that the ratio can be tested."""
    alive = next(
        (n for day, n in reversed(ledger_of(entry.session, entry.actor, batch).history) if day <= on),
        batch.start_count,
    )
    entry.add(
        Count(batch_id=batch.id, counted_on=on, alive=alive, females=females, males=males, logged_at=moment)
    )


def _part(
    entry: Entry,
    batch: Batch,
    on: date,
    number: int,
    sex: BatchSex,
    section_id: int | None,
    code: str,
    moment: datetime,
) -> Batch:
    """Put ``number`` fish of a batch into a new one."""
    session = entry.session
    where = _where(session, batch, None, section_id)
    child = entry.add(
        Batch(
            line_id=batch.line_id,
            brood_id=batch.brood_id,
            parent_id=batch.id,
            code=check_code(session, code, "code") if code.strip() else free_code(session, batch, sex),
            sex=sex,
            born_from=batch.born_from,
            born_to=batch.born_to,
            started_on=on,
            start_count=number,
            logged_at=moment,
        )
    )
    place(entry, where, on, batch=child)
    carryings.follow_exposure(entry, where, on)
    return child


def _where(session: Session, batch: Batch, child: Batch | None, section_id: int | None) -> int:
    """Return the section meant: the one given, else where the batch stands."""
    if section_id is not None:
        return section_id
    stay = open_stay(session, batch=child or batch)
    if stay is None:
        raise Refused(f"{batch.code} stands nowhere. Choose where they go.", "section_id")
    return stay.section_id


def free_code(session: Session, batch: Batch, sex: BatchSex) -> str:
    """Return a code for a part of a batch: its own with F, M or a letter."""
    taken = {row.code for row in rows(session, Batch, Batch.code.startswith(batch.code, autoescape=True))}
    letters = SEX_LETTERS.get(sex, "")
    wanted = [f"{batch.code}{letters}"] if letters and batch.sex is BatchSex.MIXED else []
    wanted += [f"{batch.code}{letters}{chr(ord('a') + step)}" for step in range(26)]
    wanted += [f"{batch.code}{letters}{step}" for step in range(2, 1000)]
    return next(code for code in wanted if code not in taken)[:LONGEST]


def check_code(session: Session, code: str, field: str) -> str:
    """Return a batch's code without idle spaces; refuse none, a long one, and one in use."""
    code = " ".join(code.split())
    if not code:
        raise Refused("Give the batch a code, like B12.", field)
    if len(code) > LONGEST:
        raise Refused(f"{code[:12]}… is too long; give at most {LONGEST} letters.", field)
    if rows(session, Batch, func.lower(Batch.code) == code.lower()):
        raise Refused(f"There is a batch {code} already. Choose another code.", field)
    return code


def keep(
    session: Session,
    actor: Actor,
    batch_id: int,
    *,
    on: date,
    sex: Sex,
    section_id: int | None = None,
    code: str = "",
    name: str = "",
    note: str = "",
) -> Fish:
    """Keep one fry as broodstock: a fish of its own, with the brood's parents where they are known."""
    actor.must_log()
    not_ahead(actor, on, "on")
    batch = find(session, Batch, batch_id)
    _check_sex(batch, sex)
    moment = check_entry(session, actor, batch, book.kept(on, 1), "on")
    where = _where(session, batch, None, section_id)
    entry = Entry(session, actor, "keep")
    fish = entry.add(_kept_fish(session, batch, on, sex, code, name, note))
    entry.add(Keeping(batch_id=batch.id, fish_id=fish.id, kept_on=on, logged_at=moment))
    place(entry, where, on, fish=fish)
    settle(entry, batch)
    if fish.sex is Sex.FEMALE:
        carryings.after_arrival(entry, fish)
    carryings.follow_exposure(entry, where, on)
    entry.tell(
        f"batch:{batch.id}", f"{batch.code}: {fish.code} kept as broodstock, {day_words(on, actor.today)}"
    )
    return fish


def _check_sex(batch: Batch, sex: Sex) -> None:
    wrong = {BatchSex.FEMALES: Sex.MALE, BatchSex.MALES: Sex.FEMALE}.get(batch.sex)
    if sex is wrong:
        raise Refused(
            f"{batch.code} is a batch of {batch.sex.value}. Keep it from another, or correct the sex.", "sex"
        )


def _kept_fish(session: Session, batch: Batch, on: date, sex: Sex, code: str, name: str, note: str) -> Fish:
    brood = find(session, Brood, batch.brood_id) if batch.brood_id is not None else None
    return Fish(
        line_id=batch.line_id,
        code=_fish_code(session, batch, code),
        name=name.strip(),
        sex=sex,
        born_on=batch.born_from + timedelta(days=(batch.born_to - batch.born_from).days // 2),
        born_precision=_precision(batch),
        origin=Origin.HOMEBRED if brood is not None else Origin.BOUGHT,
        source=batch.source,
        arrived_on=on,
        with_males=_with_males(session, batch, on, sex),
        dam_id=brood.dam_id if brood is not None else None,
        sire_id=_only_sire(session, brood) if brood is not None else None,
        note=note.strip(),
    )


def _fish_code(session: Session, batch: Batch, code: str) -> str:
    """Return the code given, or the batch's with the next free number."""
    room = session.info["fishroom_id"]
    taken = set(session.scalars(select(Fish.code).where(Fish.fishroom_id == room)))
    code = " ".join(code.split())
    if not code:
        return next_codes(f"{batch.code[:24]}-", 1, taken)[0]
    check_codes([code], taken, "code")
    return code


def _precision(batch: Batch) -> Precision:
    apart = (batch.born_to - batch.born_from).days
    return next((precise for days, precise in PRECISE if apart <= days), Precision.GUESS)


def _with_males(session: Session, batch: Batch, on: date, sex: Sex) -> WithMales:
    """Say whether a female may have been mated by her brothers before she was kept."""
    if sex is not Sex.FEMALE:
        return WithMales.UNKNOWN
    species = SPECIES[find(session, Line, batch.line_id).species]
    together_until = on if batch.sex is not BatchSex.FEMALES else batch.started_on
    return WithMales.UNKNOWN if mature(species, batch.born_from, together_until) else WithMales.NO


def _only_sire(session: Session, brood: Brood) -> int | None:
    """Return the sire of a brood's pairing, where it had one."""
    if brood.pairing_id is None:
        return None
    members = select(PairingMember.fish_id).where(PairingMember.pairing_id == brood.pairing_id)
    sires = rows(session, Fish, Fish.id.in_(members), Fish.sex == Sex.MALE)
    return sires[0].id if len(sires) == 1 else None

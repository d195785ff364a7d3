"""One fish: what is true of it now, what comes next, its forebears and its history."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.births import BirthForecast
from app.core.methods import METHODS
from app.core.quantities import show_hardness, show_length, show_salinity, show_temperature
from app.core.quantities.showing import trimmed
from app.core.species import SPECIES, Species
from app.core.why import Why
from app.core.wording import begun, day_words, listed, window_words
from app.queries.case_links import CaseLink, open_cases
from app.queries.fish import Wait, fish_age, left_words, quarantine, waiting
from app.queries.fish_history import fish_history
from app.queries.history import Event
from app.queries.lineage import Forebear, forebears, generations, herd, inbreeding_words
from app.queries.occupants import label_of
from app.queries.outlook import BirthOutlook, birth_outlooks
from app.queries.plans import PlanShown, plans_of_fish
from app.queries.sections import Place, places
from app.store.actor import Actor
from app.store.carryings import Basis, Carrying
from app.store.fish import Fish, Origin, Precision, Sex, WithMales
from app.store.lines import Line
from app.store.pairings import Pairing, PairingMember
from app.store.session import find, rows
from app.store.stays import Stay

SHOWN_DEPTH = 2
"""Parents and grandparents stand on the fish's page; the rest on its lineage page."""


@dataclass(frozen=True, slots=True)
class Coming:
    """A dam's next drop: the wait itself, and all that is worth knowing beside its dates."""

    wait: Wait
    since: str
    notes: tuple[str, ...]
    brood: str
    later: tuple[str, ...]
    why: Why
    method: str
    method_key: str


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a fish stands, since when, and with which fish of a running pairing."""

    place: Place
    since: date


NEW_DAYS = 14
"""So long after its arrival a fish may still need to be led over to the tank's water (judgement)."""


@dataclass(frozen=True, slots=True)
class FishPage:
    """One fish."""

    id: int
    code: str
    label: str
    sex: str
    line_id: int
    line: str
    species: Species
    age: str
    left: str
    stand: Stand | None
    quarantine_until: date | None
    pairing: tuple[int, str] | None
    coming: Coming | None
    facts: tuple[tuple[str, str], ...]
    water_unknown: bool
    note: str
    tree: Forebear
    inbreeding: float
    inbreeding_words: str
    generations: int
    young: tuple[tuple[int, str], ...]
    history: tuple[Event, ...]
    cases: tuple[CaseLink, ...]
    plans: tuple[PlanShown, ...]
    new: bool

    @property
    def here(self) -> bool:
        """Whether it has not left."""
        return not self.left

    @property
    def now(self) -> str:
        """Say what is true of it now."""
        if self.left:
            return f"{begun(self.left)}."
        where = f"In {self.stand.place.words}" if self.stand is not None else "Stands nowhere yet"
        return f"{where}; {self.coming.since}." if self.coming is not None else f"{where}."


def fish_page(session: Session, actor: Actor, fish_id: int) -> FishPage:
    """Read one fish."""
    fish = find(session, Fish, fish_id)
    line = find(session, Line, fish.line_id)
    of = herd(session, actor)
    where = places(session, actor)
    outlook = birth_outlooks(session, actor, [fish.id]).get(fish.id) if fish.sex is Sex.FEMALE else None
    return FishPage(
        id=fish.id,
        code=fish.code,
        label=label_of(fish),
        sex=fish.sex.value,
        line_id=line.id,
        line=line.name,
        species=SPECIES[line.species],
        age=fish_age(fish, fish.left_on or actor.today),
        left=left_words(fish, actor.today),
        stand=_stand(session, fish, where),
        quarantine_until=quarantine(fish, actor.today),
        pairing=_pairing(session, actor, fish),
        coming=_coming(actor, outlook) if outlook is not None and fish.left_on is None else None,
        facts=_facts(actor, fish),
        water_unknown=_water_unknown(fish),
        note=fish.note,
        tree=forebears(of, fish.id, SHOWN_DEPTH),
        inbreeding=of.inbreeding(fish),
        inbreeding_words=inbreeding_words(of, fish),
        generations=generations(of, fish.id),
        young=tuple(
            (each.id, label_of(each)) for each in of.fish.values() if fish.id in (each.dam_id, each.sire_id)
        ),
        history=fish_history(session, actor, fish, where),
        cases=open_cases(session, fish_ids=[fish.id]),
        plans=plans_of_fish(session, actor, fish.id),
        new=fish.left_on is None and (actor.today - fish.arrived_on).days <= NEW_DAYS,
    )


def _stand(session: Session, fish: Fish, where: dict[int, Place]) -> Stand | None:
    found = rows(session, Stay, Stay.fish_id == fish.id, Stay.to_on.is_(None))
    return Stand(where[found[0].section_id], found[0].from_on) if found else None


def _pairing(session: Session, actor: Actor, fish: Fish) -> tuple[int, str] | None:
    """Return the running pairing a fish is in, and who its mates there are."""
    mine = (
        select(PairingMember.pairing_id)
        .join(Pairing, Pairing.id == PairingMember.pairing_id)
        .where(PairingMember.fish_id == fish.id, Pairing.ended_on.is_(None))
    )
    statement = (
        select(PairingMember.pairing_id, Fish)
        .join(Fish, Fish.id == PairingMember.fish_id)
        .where(
            PairingMember.fishroom_id == actor.fishroom_id,
            PairingMember.pairing_id.in_(mine),
            Fish.sex != fish.sex,
        )
        .order_by(PairingMember.pairing_id.desc(), PairingMember.id)
    )
    found = [(pairing_id, label_of(mate)) for pairing_id, mate in session.execute(statement)]
    if not found:
        return None
    newest = found[0][0]
    return newest, listed([label for pairing_id, label in found if pairing_id == newest])


def _coming(actor: Actor, outlook: BirthOutlook) -> Coming:
    said = outlook.forecast
    wait = waiting(outlook)
    return Coming(
        wait,
        _since(actor, outlook.case.carrying),
        tuple(_sentence(note) for note in said.notes if note != wait.sentence),
        _brood(said),
        tuple(window_words(window, actor.today) for window in said.later_drops),
        said.why,
        METHODS[said.why.method].title,
        said.why.method,
    )


def _since(actor: Actor, carrying: Carrying) -> str:
    day = day_words(carrying.started_on, actor.today)
    return {
        Basis.EXPOSURE: f"met males on {day}",
        Basis.LAST_DROP: f"dropped last on {day}",
        Basis.ARRIVAL: f"may have carried when she came on {day}",
    }[carrying.basis]


def _sentence(note: str) -> str:
    text = begun(note)
    return text if text.endswith((".", "?")) else f"{text}."


def _brood(said: BirthForecast) -> str:
    if said.fry_per_week is not None:
        return f"about {said.fry_per_week:.2g} fry a week"
    size = said.brood_size
    if size is None:
        return ""
    return f"about {size.median:.0f} fry; {size.p10:.0f} to {size.p90:.0f} in 8 of 10 cases"


def _facts(actor: Actor, fish: Fish) -> tuple[tuple[str, str], ...]:
    return tuple(
        (what, value)
        for what, value in (
            ("Born", _born(actor, fish)),
            ("Came", _came(actor, fish)),
            ("Length", show_length(fish.length_mm, actor.units) if fish.length_mm is not None else ""),
            ("Males before", _males(fish)),
            ("Raised in", _water(actor, fish)),
        )
        if value
    )


def _born(actor: Actor, fish: Fish) -> str:
    if fish.born_on is None:
        return "not known"
    sure = "" if fish.born_precision is Precision.DAY else f", {fish.born_precision.value}"
    return f"{day_words(fish.born_on, actor.today)}{sure}"


def _came(actor: Actor, fish: Fish) -> str:
    how = {Origin.HOMEBRED: "kept from a brood here", Origin.TRADED: "traded or given"}
    source = f", {fish.source}" if fish.source else ""
    return f"{day_words(fish.arrived_on, actor.today)}, {how.get(fish.origin, fish.origin.value)}{source}"


def _males(fish: Fish) -> str:
    if fish.sex is not Sex.FEMALE or fish.origin is Origin.HOMEBRED:
        return ""
    return {
        WithMales.YES: "yes, she may hold their sperm",
        WithMales.NO: "no, a virgin when she came",
        WithMales.UNKNOWN: "not known",
    }[fish.with_males]


def _water(actor: Actor, fish: Fish) -> str:
    known = [
        show_salinity(fish.origin_salinity_g_per_l) if fish.origin_salinity_g_per_l is not None else "",
        f"GH {show_hardness(fish.origin_gh_dh, actor.units)}" if fish.origin_gh_dh is not None else "",
        f"pH {trimmed(fish.origin_ph, 1)}" if fish.origin_ph is not None else "",
        show_temperature(fish.origin_temperature_c, actor.units)
        if fish.origin_temperature_c is not None
        else "",
    ]
    found = ", ".join(filter(None, known))
    return found or ("" if fish.origin is Origin.HOMEBRED else "not known")


def _water_unknown(fish: Fish) -> bool:
    return fish.origin is not Origin.HOMEBRED and fish.origin_salinity_g_per_l is None

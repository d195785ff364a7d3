"""The almanac: windows and dates ahead, by the day they begin."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from sqlalchemy.orm import Session

from app.core.reminders import StepFact, Subject
from app.core.reminders.plans import LOOK, stage_of
from app.core.ribbon import Ribbon, ribbon_from_cdf, ribbon_from_window
from app.core.windows import Window
from app.core.wording import day_words, in_ten, many, span_words, window_words
from app.queries.facts import Morning, morning
from app.queries.outlook import BatchOutlook, BirthOutlook, stepped
from app.store.actor import Actor
from app.store.batches import BatchSex
from app.store.plans import PlanKind
from app.store.session import rows
from app.store.tanks import Tank

Span = tuple[date, date]
Address = Callable[[str, int], str]
KINDS = {
    "birth": "Births",
    "sexing": "Sexing and splitting",
    "ready": "Rehoming",
    "quarantine": "Quarantine",
    "plan": "Courses and other plans",
    "project": "Projects",
}
"""What stands in the almanac, by the first word of an entry's ``uid``."""
LABELS = {"later": "later drop", "sex": "sex and split", "ends": "quarantine ends", "start": "project starts"}
"""An entry's word where there is room for more of it."""
FEW = 8
"""So many entries are read at once; of more, what begins after two weeks is counted and opens at a touch."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """One window or date ahead; ``uid`` stays the same while it moves."""

    uid: str
    subject: Subject
    tank_id: int | None
    window: Window
    median: date | None
    title: str
    words: str
    stage: str
    word: str
    draw: Callable[[Span | None], Ribbon]

    @property
    def kind(self) -> str:
        """The kind of entry, one of ``KINDS``."""
        return self.uid.partition("-")[0]

    @property
    def label(self) -> str:
        """What is to happen, in a word or three."""
        return LABELS.get(self.word, self.word)


@dataclass(frozen=True, slots=True)
class Chapter:
    """Entries that begin in the same week, or month further ahead."""

    title: str
    folded: bool
    entries: tuple[Ahead, ...]

    @property
    def counts(self) -> str:
        """Say how many there are of what."""
        found = Counter(entry.label for entry in self.entries)
        return ", ".join(f"{number} × {label}" for label, number in found.items())


@dataclass(frozen=True, slots=True)
class AlmanacPage:
    """What lies ahead, soonest first, by week or month; how many there are of each kind; the tanks' names."""

    today: date
    entries: tuple[Ahead, ...]
    counts: dict[str, int]
    tanks: dict[int, str]

    @property
    def chapters(self) -> tuple[Chapter, ...]:
        """The entries by the week in which they begin; from the third month on by month."""
        chapters = groupby(self.entries, lambda entry: self._chapter(entry.window.start))
        return tuple(Chapter(*title, tuple(found)) for title, found in chapters)

    def _chapter(self, day: date) -> tuple[str, bool]:
        """Return the title, and whether it is folded: a short almanac stands open as a whole."""
        ahead, many_more = (day - self.today).days, len(self.entries) > FEW
        if ahead <= 0:
            return "Begun", False
        if ahead < 14:
            return ("The next seven days" if ahead < 7 else "The week after"), False
        if ahead < 56:
            return f"Week of {day_words(day - timedelta(days=day.weekday()), self.today)}", many_more
        return f"{day:%B %Y}", many_more


def almanac_page(session: Session, actor: Actor, days: int = 365, kind: str = "") -> AlmanacPage:
    """Return what lies ahead within ``days``, of one kind or all."""
    names = {tank.id: tank.name for tank in rows(session, Tank)}
    found = entries(morning(session, actor), actor.today, days)
    there = Counter(entry.kind for entry in found)
    return AlmanacPage(
        actor.today,
        tuple(entry for entry in found if kind in ("", entry.kind)),
        {kind: there[kind] for kind in KINDS if there[kind]},
        names,
    )


def entries(today: Morning, on: date, days: int) -> list[Ahead]:
    """Return every window and date from now to ``days`` ahead, by when it begins."""
    found = [*_births(today, on), *_batches(today, on), *_quarantines(today), *_plans(today, on)]
    found += _projects(today, on)
    last = on + timedelta(days=days)
    ahead = [entry for entry in found if entry.window.end >= on and entry.window.start <= last]
    return sorted(ahead, key=lambda entry: (entry.window.start, entry.window.end, entry.uid))


def _births(today: Morning, on: date) -> Iterator[Ahead]:
    for outlook in today.births.values():
        said, dam = outlook.forecast, outlook.case.dam
        about = Subject("fish", dam.id, dam.code)
        tank_id = today.fish_tanks.get(dam.id)
        if said.window_80 is not None and said.median is not None:
            words = (
                f"{dam.code} may drop {window_words(said.window_80, on)}; carrying: {in_ten(said.p_carrying)}"
            )
            yield Ahead(
                f"birth-{outlook.carrying_id}", about, tank_id, said.window_80, said.median,
                f"{dam.code}: birth window", words, "carrying", "drop", _drawn_birth(outlook, on),
            )  # fmt: skip
        for number, window in enumerate(said.later_drops, start=2):
            yield Ahead(
                f"birth-{outlook.carrying_id}-{number}", about, tank_id, window, None,
                f"{dam.code}: drop after that", f"{dam.code}, a later drop: {window_words(window, on)}",
                "waiting", "later", _drawn_window(window, on, "waiting"),
            )  # fmt: skip


def _drawn_birth(outlook: BirthOutlook, on: date) -> Callable[[Span | None], Ribbon]:
    said = outlook.forecast
    window, median, chance = said.window_80, said.median, stepped(said.cdf)
    assert window is not None and median is not None  # noqa: S101, PT018 - only dated forecasts come here
    return lambda span: ribbon_from_cdf(chance, window, median, on, span=span, stage="carrying")


def _drawn_window(
    window: Window, on: date, stage: str, median: date | None = None
) -> Callable[[Span | None], Ribbon]:
    return lambda span: ribbon_from_window(window, on, median, span=span, stage=stage)


def _drawn_sexing(outlook: BatchOutlook, on: date) -> Callable[[Span | None], Ribbon]:
    return lambda span: (
        ribbon_from_window(outlook.sexing.window, on, span=span, stage="sexing")
        if span
        else outlook.sexing_ribbon
    )


def _batches(today: Morning, on: date) -> Iterator[Ahead]:
    for outlook in today.batches.values():
        if outlook.ledger.alive:
            yield from _of_batch(outlook, today.batch_tanks.get(outlook.batch_id), on)


def _of_batch(outlook: BatchOutlook, tank_id: int | None, on: date) -> Iterator[Ahead]:
    batch, sexing, ready = outlook.case.batch, outlook.sexing, outlook.ready
    about = Subject("batch", batch.id, batch.code)
    if batch.sex is BatchSex.MIXED:
        yield Ahead(
            f"sexing-{batch.id}", about, tank_id, sexing.window, None, f"{batch.code}: sex and split",
            f"{batch.code}: sex and split {span_words(sexing.window.start, sexing.split_by, on)}",
            "sexing", "sex", _drawn_sexing(outlook, on),
        )  # fmt: skip
    if ready.window_80 is not None:
        fish = many(outlook.ledger.alive, "fish", "fish")
        yield Ahead(
            f"ready-{batch.id}", about, tank_id, ready.window_80, ready.median, f"{batch.code}: rehoming",
            f"{batch.code}, {fish}: ready to rehome {window_words(ready.window_80, on)}",
            "ready", "rehome", _drawn_window(ready.window_80, on, "ready", ready.median),
        )  # fmt: skip


def _quarantines(today: Morning) -> Iterator[Ahead]:
    for fish in today.facts.quarantined:
        end = Window(fish.quarantine_until, fish.quarantine_until, 1.0)
        yield Ahead(
            f"quarantine-{fish.id}", Subject("fish", fish.id, fish.code), fish.tank_id, end, None,
            f"{fish.code}: quarantine ends", f"Quarantine of {fish.code} ends: look, then decide",
            "quarantine", "ends", _drawn_window(end, today.facts.today, "quarantine"),
        )  # fmt: skip


def _plans(today: Morning, on: date) -> Iterator[Ahead]:
    """Give the steps that are left of each plan."""
    steps = sorted(steps_left(today), key=lambda step: step.plan_id)
    for plan_id, own in groupby(steps, key=lambda step: step.plan_id):
        yield _plan(plan_id, list(own), on)


def steps_left(today: Morning) -> Iterator[StepFact]:
    """Return the steps of plans that are shown; of a quarantine its end says enough."""
    return (step for step in today.facts.steps if step.step != LOOK and step.plan != PlanKind.QUARANTINE)


def _plan(plan_id: int, left: Sequence[StepFact], on: date) -> Ahead:
    days, title, stage = [step.due_on for step in left], left[0].title, stage_of(left[0])
    window = Window(min(days), max(days), 1.0)
    words = f"{title}: {many(len(left), 'step')}, {window_words(window, on)}"
    return Ahead(
        f"plan-{plan_id}", Subject("plan", plan_id, title), left[0].tank_id, window, None, title, words,
        stage, "steps", _drawn_window(window, on, stage),
    )  # fmt: skip


def _projects(today: Morning, on: date) -> Iterator[Ahead]:
    """Give when each waiting project can start, in the tank that the plan gives it."""
    for one in today.planned:
        window, start = one.slot.start_80, one.slot.starts
        if window is not None and start is not None:
            sure = window.start == window.end
            window, median = (Window(start, start, 1.0), None) if sure else (window, start)
            yield Ahead(
                f"project-{one.id}", Subject("project", one.id, one.aim), one.tank_id, window, median,
                f"“{one.aim}” can start in {one.tank}", f"“{one.aim}”, in {one.words}", "waiting", "start",
                _drawn_window(window, on, "waiting", median),
            )  # fmt: skip

"""The first steps in an empty fishroom: which are done, which is next, and what the last one offers."""

from dataclasses import dataclass

from sqlalchemy import exists, select
from sqlalchemy.orm import Session

from app.queries.occupants import label_of
from app.queries.sections import Place, open_places
from app.store.actor import Actor
from app.store.fish import Fish, Sex
from app.store.journal import Act
from app.store.pairings import Pairing
from app.store.session import rows
from app.store.stays import Stay
from app.store.tanks import Tank

STEPS = (
    ("measures", "Units and time zone"),
    ("tank", "The first tank"),
    ("fish", "The first fish"),
    ("pairing", "The first pairing"),
)


@dataclass(frozen=True, slots=True)
class Step:
    """One step, and whether it is done."""

    key: str
    title: str
    done: bool


@dataclass(frozen=True, slots=True)
class FirstSteps:
    """All steps in order."""

    steps: tuple[Step, ...]

    @property
    def next(self) -> str | None:
        """The first step after all that are done; what was skipped before is not asked again."""
        last = max((at for at, step in enumerate(self.steps) if step.done), default=-1)
        return self.steps[last + 1].key if last + 1 < len(self.steps) else None

    def after(self, key: str) -> str | None:
        """Return the next step after one that was done or skipped."""
        keys = [step.key for step in self.steps]
        later = self.steps[keys.index(key) + 1 :]
        return next((step.key for step in later if not step.done), None)

    def number(self, key: str) -> int:
        """Return which step this is, counted from one."""
        return [step.key for step in self.steps].index(key) + 1


@dataclass(frozen=True, slots=True)
class Together:
    """Grown fish that can be put together, and where the first dam stands."""

    dams: tuple[tuple[int, str], ...]
    sires: tuple[tuple[int, str], ...]
    section_id: int | None


def first_steps(session: Session, actor: Actor) -> FirstSteps:
    """Look what is done, in one statement; the measures count as asked once they were saved."""
    settled = exists().where(Act.fishroom_id == actor.fishroom_id, Act.verb == "edit fishroom")
    has = [exists().where(model.fishroom_id == actor.fishroom_id) for model in (Tank, Fish, Pairing)]
    done = session.execute(select(settled, *has)).one()
    return FirstSteps(
        tuple(Step(key, title, bool(is_done)) for (key, title), is_done in zip(STEPS, done, strict=True))
    )


def places_for_fish(session: Session, actor: Actor) -> tuple[Place, ...]:
    """Return where the first fish can stand."""
    return tuple(open_places(session, actor))


def together(session: Session) -> Together:
    """Return who could make the first pairing."""
    here = rows(session, Fish, Fish.left_on.is_(None), order=(Fish.code,))
    dams = [fish for fish in here if fish.sex is Sex.FEMALE]
    sires = [fish for fish in here if fish.sex is Sex.MALE]
    stays = rows(session, Stay, Stay.to_on.is_(None), Stay.fish_id.in_([fish.id for fish in dams]))
    return Together(
        tuple((fish.id, label_of(fish)) for fish in dams),
        tuple((fish.id, label_of(fish)) for fish in sires),
        stays[0].section_id if stays else None,
    )

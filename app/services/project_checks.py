"""A project's checklist by stage: usual lines to begin with, the keeper's own, ticked as they are done."""

from sqlalchemy.orm import Session

from app.services.journal import Entry
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.projects import Project, ProjectCheck, Stage
from app.store.session import find, rows

LONGEST = 160
USUAL: tuple[tuple[Stage, str], ...] = (
    (Stage.PLAN, "Tank ready, its water tested"),
    (Stage.PLAN, "Parents chosen; kinship looked at"),
    (Stage.PAIR, "Parents well fed and in good condition"),
    (Stage.PAIR, "Cover and a fry place ready"),
    (Stage.RAISE, "Parents away from the fry"),
    (Stage.RAISE, "Lengths measured at least twice"),
    (Stage.CHOOSE, "Sexes apart before the first males are fertile"),
    (Stage.CHOOSE, "Keepers chosen and marked"),
    (Stage.REHOME, "Homes found for the rest; water cards printed"),
    (Stage.CLOSE, "Tank emptied, cleaned and turned round"),
)
"""What most projects need (common practice, no source); the keeper adds and removes."""


def usual(entry: Entry, project: Project) -> None:
    """Give a new project the usual lines."""
    for place, (stage, words) in enumerate(USUAL, start=1):
        entry.add(ProjectCheck(project_id=project.id, stage=stage, words=words, position=place))


def add_check(session: Session, actor: Actor, project_id: int, *, stage: Stage, words: str) -> ProjectCheck:
    """Add a line to a project's checklist."""
    actor.must_manage()
    project, said = find(session, Project, project_id), words.strip()
    if not said:
        raise Refused("What is to be done? For example: photograph both parents.", "words")
    if len(said) > LONGEST:
        raise Refused(f"A line has at most {LONGEST} letters.", "words")
    last = max((each.position for each in _lines(session, project.id)), default=0)
    entry = Entry(session, actor, "add to checklist")
    check = entry.add(ProjectCheck(project_id=project.id, stage=stage, words=said, position=last + 1))
    entry.tell(f"project:{project.id}", f"To do: {said}")
    return check


def tick(session: Session, actor: Actor, check_id: int, *, done: bool) -> ProjectCheck:
    """Tick a line off, or open it again."""
    actor.must_log()
    check = find(session, ProjectCheck, check_id)
    entry = Entry(session, actor, "tick checklist")
    entry.change(check, done_on=actor.today if done else None)
    entry.tell(f"project:{check.project_id}", f"{'Done' if done else 'Open again'}: {check.words}")
    return check


def remove_check(session: Session, actor: Actor, check_id: int) -> ProjectCheck:
    """Take a line off the checklist."""
    actor.must_manage()
    check = find(session, ProjectCheck, check_id)
    entry = Entry(session, actor, "remove from checklist")
    entry.remove(check)
    entry.tell(f"project:{check.project_id}", f"No longer to do: {check.words}")
    return check


def _lines(session: Session, project_id: int) -> list[ProjectCheck]:
    return list(rows(session, ProjectCheck, ProjectCheck.project_id == project_id))

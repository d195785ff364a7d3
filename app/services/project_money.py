"""What a project costs and brings in, beside what its rehomed fish brought."""

from datetime import date

from sqlalchemy.orm import Session

from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.projects import MoneyKind, Project, ProjectMoney
from app.store.session import find

LONGEST = 160
MOST = 10_000_000


def log_money(
    session: Session,
    actor: Actor,
    project_id: int,
    *,
    kind: MoneyKind,
    amount: float,
    words: str,
    on: date | None = None,
) -> ProjectMoney:
    """Write down a cost or an income of a project, in the fishroom's money."""
    actor.must_manage()
    project, day, said = find(session, Project, project_id), on or actor.today, words.strip()
    not_ahead(actor, day, "on")
    if not 0 < amount <= MOST:
        raise Refused(f"{amount:g} cannot be. Give an amount above 0, such as 12.50.", "amount")
    if not said or len(said) > LONGEST:
        raise Refused(f"What was it for? At most {LONGEST} letters.", "words")
    entry = Entry(session, actor, "log money")
    made = entry.add(
        ProjectMoney(project_id=project.id, on=day, kind=kind, hundredths=round(amount * 100), words=said)
    )
    entry.tell(f"project:{project.id}", f"{kind.value.capitalize()} of {amount:.2f}: {said}")
    return made


def remove_money(session: Session, actor: Actor, money_id: int) -> ProjectMoney:
    """Take a cost or an income out again."""
    actor.must_manage()
    money = find(session, ProjectMoney, money_id)
    entry = Entry(session, actor, "remove money")
    entry.remove(money)
    entry.tell(f"project:{money.project_id}", f"Taken out: {money.hundredths / 100:.2f}, {money.words}")
    return money

"""What projects cost and bring."""

import pytest

from app.services import project_money, projects
from app.services.refusals import Refused
from app.store.actor import Actor
from app.store.projects import MoneyKind, ProjectMoney
from app.store.session import RoomSession, rows
from tests.factories import Made


def test_a_cost_is_kept_to_the_hundredth_and_can_be_taken_out(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    project = projects.plan_project(session, keeper, aim="More blue", line_id=made.line().id)
    money = project_money.log_money(
        session, keeper, project.id, kind=MoneyKind.COST, amount=12.35, words="A pair"
    )
    assert (money.hundredths, money.on) == (1235, keeper.today)
    project_money.remove_money(session, keeper, money.id)
    assert rows(session, ProjectMoney) == []


@pytest.mark.parametrize(
    ("amount", "words", "said"),
    [(0, "moss", "cannot be"), (-3, "moss", "cannot be"), (3, " ", "What was it")],
)
def test_what_cannot_be_is_refused(
    session: RoomSession, keeper: Actor, made: Made, amount: float, words: str, said: str
) -> None:
    project = projects.plan_project(session, keeper, aim="More blue", line_id=made.line().id)
    with pytest.raises(Refused, match=said):
        project_money.log_money(session, keeper, project.id, kind=MoneyKind.COST, amount=amount, words=words)


def test_a_day_ahead_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    project = projects.plan_project(session, keeper, aim="More blue", line_id=made.line().id)
    with pytest.raises(Refused, match="still ahead"):
        project_money.log_money(
            session, keeper, project.id, kind=MoneyKind.COST, amount=3, words="moss", on=made.days_ago(-1)
        )

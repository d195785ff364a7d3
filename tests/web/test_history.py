"""The history: what was done, and taking it back."""

import pytest

from app.services import tanks
from app.store.journal import Act
from app.store.session import rows
from app.store.tanks import Tank
from tests.factories import Made
from tests.support.client import Visitor


@pytest.fixture
def act(made: Made) -> Act:
    """The keeper put up a tank."""
    tanks.add_tank(made.session, made.actor, name="Rack 1", litres=54)
    made.session.commit()
    return rows(made.session, Act)[-1]


def test_the_latest_acts_are_told(visit: Visitor, act: Act) -> None:
    assert act.words == "Tank Rack 1 put up"
    assert "Tank Rack 1 put up" in visit.open("/history").words


def test_an_act_is_taken_back_once(visit: Visitor, made: Made, act: Act) -> None:
    page = visit.post(f"/history/{act.id}/undo")
    assert "Taken back: Tank Rack 1 put up" in page.words
    assert rows(made.session, Tank) == []
    assert "taken back already" in visit.post(f"/history/{act.id}/undo").words


def test_an_act_that_later_ones_rest_on_stays(visit: Visitor, made: Made, act: Act) -> None:
    made.fish(made.dam().sex, section=made.section(rows(made.session, Tank)[0]))
    made.session.commit()
    page = visit.post(f"/history/{act.id}/undo")
    assert "Taken back" not in page.words
    assert "first" in page.words
    assert [tank.name for tank in rows(made.session, Tank) if tank.name == "Rack 1"] == ["Rack 1"]


def test_a_helper_takes_back_only_what_was_their_own(helping: Visitor, act: Act) -> None:
    assert helping.post(f"/history/{act.id}/undo").status == 403


def test_taking_back_leads_to_the_page_it_was_asked_on(visit: Visitor, act: Act) -> None:
    token = visit.open("/history").token
    answer = visit.client.post(f"/history/{act.id}/undo?next=/tanks", data={"csrf_token": token})
    assert answer.headers["Location"] == "/tanks"

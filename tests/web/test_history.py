"""The history: what was done, and taking it back."""

import pytest

from app.queries.history import history_page
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


def test_a_long_history_is_told_in_parts_and_an_undo_comes_back_to_its_part(
    visit: Visitor, made: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.queries.history.SHOWN", 2)
    for number in range(5):
        tanks.add_tank(made.session, made.actor, name=f"Rack {number}", litres=54)
    made.session.commit()
    first = visit.open("/history")
    later = next(a.get("href") or "" for a in first.all("a") if a.get("rel") == "next")
    second = visit.open(later)
    assert ("Rack 4" in first.words, "Rack 2" in first.words, "Rack 2" in second.words) == (True, False, True)
    undo = next(f.get("action") or "" for f in second.all("form") if "/undo" in (f.get("action") or ""))
    assert "from%3D2" in undo
    back = visit.post(undo)
    assert "Taken back: Tank Rack 2 put up" in back.words
    assert "Tank Rack 1 put up" in back.words


def test_when_and_who_are_told_once_on_the_way_down_and_an_account_that_is_gone_is_nobody_elses(
    made: Made, act: Act
) -> None:
    tanks.add_tank(made.session, made.actor, name="Rack 2", litres=54)
    tanks.add_tank(made.session, made.actor, name="Rack 3", litres=54)
    made.session.flush()
    act.user_id = None
    made.session.flush()
    details = [one.detail for one in history_page(made.session, made.actor).acts[:3]]
    assert details[0].endswith("keeper@fish.example")
    assert details[1] == ""
    assert details[2].endswith("an account that is gone")

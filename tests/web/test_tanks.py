"""The tank pages."""

from tests.factories import Made
from tests.support.client import Visitor


def test_a_tank_is_put_up_by_its_gallons(visit: Visitor) -> None:
    page = visit.send("/tanks/new", name="Rack 1", litres="10 gal", sections="2")
    assert "Tank Rack 1" in page.words
    assert "37.9 L" in page.words


def test_nothing_typed_is_lost_on_a_refused_tank(visit: Visitor) -> None:
    page = visit.send("/tanks/new", name="Rack 1", litres="a lot", sections="2", note="by the door")
    assert page.status == 422
    assert page.value("litres") == "a lot"
    assert page.value("name") == "Rack 1"


def test_a_stranger_finds_no_tank(outsider: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    outsider.open(f"/tanks/{tank.id}", expect=404)


def test_without_sign_in_the_way_leads_to_the_door(visit: Visitor) -> None:
    answer = visit.app.test_client().get("/tanks")
    assert answer.status_code == 303
    assert answer.headers["Location"].startswith("/sign-in")

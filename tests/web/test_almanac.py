"""The almanac's two pages."""

from tests.factories import Made
from tests.support.client import Visitor
from tests.web.test_rounds import waiting_dam


def test_an_empty_almanac_says_what_goes_there(visit: Visitor) -> None:
    assert "Nothing lies ahead yet" in visit.open("/almanac").words
    assert "No tanks yet" in visit.open("/almanac/tanks").words


def test_the_window_of_a_waiting_dam_stands_by_date_and_by_tank(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 20)
    assert "in 8 of 10 cases like this" in visit.open("/almanac").words
    assert dam.code in visit.open("/almanac").words
    lanes = visit.open("/almanac/tanks?weeks=26")
    assert (
        any(dam.code in (link.get("aria-label") or "") for link in lanes.all("a")) or dam.code in lanes.text
    )

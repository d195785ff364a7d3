"""The almanac's three pages."""

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


def test_the_almanac_shows_one_kind_where_it_is_asked_for(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 20)
    batch = made.batch(made.line("guppy"), age_days=25)
    made.session.commit()
    births = visit.open("/almanac?kind=birth").words
    assert dam.code in births
    assert batch.code not in births
    assert batch.code in visit.open("/almanac?kind=sexing&span=year").words
    assert batch.code in visit.open("/almanac?kind=nothing").words


def test_a_month_stands_on_a_sheet_and_leads_to_the_next(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 20)
    page = visit.open("/almanac/month")
    assert "June 2026" in page.words
    assert f"{dam.code} drop to " in page.words
    assert "month=2026-07" in page.text
    assert "July 2026" in visit.open("/almanac/month?month=2026-07").words
    assert "June 2026" in visit.open("/almanac/month?month=soon").words

"""The rehoming pages and the water card."""

import pytest

from app.queries.rehomings import rehomings_page
from app.services import readings, rehomings
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.rehomings import Rehoming
from app.store.session import RoomSession, rows
from tests.factories import Made
from tests.support.client import Visitor


def test_ready_batches_stand_first_and_the_past_adds_up(
    visit: Visitor, made: Made, session: RoomSession, keeper: Actor
) -> None:
    line = made.line("guppy", "Blue")
    old, young = made.batch(line, number=20, age_days=200), made.batch(line, number=9, age_days=5)
    rehomings.rehome(session, keeper, old.id, on=keeper.today, number=5, to_whom="a friend", price=12.5)
    rehomings.rehome(session, keeper, old.id, on=made.days_ago(40), number=2, price=3)
    session.commit()
    page = visit.open("/rehomings")
    assert "1 batch can go now, 13 fish" in page.words
    assert page.words.index("Ready now") < page.words.index(old.code) < page.words.index("Ready next")
    assert page.words.index("Ready next") < page.words.index(young.code)
    assert "June 2026: 5 fish, income 12.50" in page.words
    assert "May 2026: 2 fish, income 3.00" in page.words
    assert "income in all 15.50" in page.words
    session.get_one(Fishroom, keeper.fishroom_id).money = "EUR"
    session.commit()
    page = visit.open("/rehomings")
    assert "income in all 15.50 EUR" in page.words
    assert "May 2026: 2 fish, income 3.00 EUR" in page.words


def test_batches_to_come_are_drawn_on_the_same_dates_and_ready_ones_not_at_all(
    made: Made, session: RoomSession, keeper: Actor
) -> None:
    line = made.line("guppy")
    for age in (200, 40, 5):
        made.batch(line, number=20, age_days=age)
    page = rehomings_page(session, keeper)
    assert [one.ribbon for one in page.ready] == [None]
    drawn = [one.ribbon for one in page.coming if one.ribbon]
    assert len(drawn) == 2
    assert len({(ribbon.start, ribbon.end) for ribbon in drawn}) == 1


def test_the_past_is_shown_three_months_at_a_time_and_summed_in_all(
    visit: Visitor, made: Made, session: RoomSession, keeper: Actor
) -> None:
    batch = made.batch(made.line("guppy"), number=60, age_days=400)
    for months in range(7):
        on = made.days_ago(30 * months)
        rehomings.rehome(session, keeper, batch.id, on=on, number=months + 1, to_whom="a friend", price=2)
    session.commit()
    page = visit.open("/rehomings")
    first = page.words
    months_open = [
        fold.get("open") is not None for fold in page.all("details") if "income" in "".join(fold.itertext())
    ]
    assert months_open == [True, False, False]
    assert "fish rehomed in all 28" in first
    assert "June 2026: 1 fish" in first
    assert "March 2026: 4 fish" not in first
    second = visit.open("/rehomings?from=3").words
    assert "March 2026: 4 fish, income 2.00" in second
    assert "Ready now" not in second
    assert "December 2025: 7 fish" in visit.open("/rehomings?from=6").words
    assert len(visit.client.get("/rehomings.csv").get_data(as_text=True).splitlines()) == 8


def test_rehoming_from_the_page_takes_a_comma_price(visit: Visitor, made: Made, session: RoomSession) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=120)
    session.commit()
    page = visit.send(
        f"/batches/{batch.id}/rehome", number="6", to_whom="a friend", price="12,50", on="2026-06-15"
    )
    assert "6 rehomed to a friend, 14 left" in page.words
    assert rows(session, Rehoming)[0].price == pytest.approx(12.5)


def test_more_than_alive_is_refused_with_what_was_typed(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=20)
    made.session.commit()
    page = visit.send(
        f"/batches/{batch.id}/rehome", number="21", to_whom="a friend", price="a lot", on="2026-06-15"
    )
    assert page.status == 422
    assert "is not an amount" in page.words
    page = visit.send(f"/batches/{batch.id}/rehome", number="21", to_whom="a friend", on="2026-06-15")
    assert "only 20 were alive on 15 June; 21 can't be rehomed" in page.words
    assert page.value("to_whom") == "a friend"


def test_a_fish_goes_to_another_keeper(visit: Visitor, made: Made) -> None:
    dam = made.dam(made.line("guppy"))
    made.session.commit()
    page = visit.send(f"/broodstock/{dam.id}/rehome", to_whom="a friend", on="2026-06-15", next="/rehomings")
    assert f"{dam.code} rehomed to a friend" in page.words
    assert visit.send(f"/broodstock/{dam.id}/rehome", on="2026-06-15").status == 422


def test_the_card_tells_who_they_are_and_their_water(
    visit: Visitor, made: Made, session: RoomSession, keeper: Actor
) -> None:
    section = made.section(made.tank("Nursery"))
    batch = made.batch(made.line("guppy", "Blue"), section, number=20, age_days=90)
    for days, degrees in ((1, 24.0), (8, 25.0), (40, 19.0)):
        readings.log_reading(session, keeper, section.tank_id, temperature_c=degrees, on=made.days_ago(days))
    gone = rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=5, to_whom="Someone Secret")
    session.commit()
    page = visit.open(f"/rehomings/{gone.id}/card")
    assert "Guppy, Poecilia reticulata" in page.words
    assert "5 fish, sexes not told apart" in page.words
    assert "24.5 °C on average, 24 °C to 25 °C" in page.words
    assert "Never release these fish" in page.words
    assert "Someone Secret" not in page.text, "a card names no people"
    assert 'class="qr"' in page.text


def test_a_card_without_readings_says_the_heaters_setting(
    visit: Visitor, made: Made, session: RoomSession, keeper: Actor
) -> None:
    dam = made.dam(made.line("guppy"))
    gone = rehomings.rehome_fish(session, keeper, dam.id, on=keeper.today)
    session.commit()
    page = visit.open(f"/rehomings/{gone.id}/card")
    assert "1 female" in page.words
    assert "25 °C (heater setting)" in page.words
    assert "She may carry" in page.words


def test_the_past_comes_as_a_file(visit: Visitor, made: Made, session: RoomSession, keeper: Actor) -> None:
    batch = made.batch(made.line("guppy", "Blue"), number=20)
    rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=5, to_whom="=1+1", price=12.5)
    session.commit()
    lines = visit.client.get("/rehomings.csv").get_data(as_text=True).splitlines()
    assert lines[1] == f"2026-06-15,{batch.code},Blue,not sexed,5,'=1+1,12.50,"


def test_an_empty_page_teaches(visit: Visitor) -> None:
    assert "Nothing to rehome yet" in visit.open("/rehomings").words


def test_a_stranger_finds_no_card(outsider: Visitor, made: Made, session: RoomSession, keeper: Actor) -> None:
    batch, dam = made.batch(), made.dam()
    gone = rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=1)
    session.commit()
    outsider.open(f"/rehomings/{gone.id}/card", expect=404)
    outsider.open(f"/batches/{batch.id}/rehome", expect=404)
    outsider.open(f"/broodstock/{dam.id}/rehome", expect=404)

"""What the broodstock list and a fish's page read."""

from datetime import timedelta

from app.queries.fish import Filter, fish_list, fish_table
from app.queries.fish_page import fish_page
from app.services import broods, fish
from app.services.fish import Arrival
from app.services.fish_checks import Water
from app.store.actor import Actor
from app.store.fish import Departure, Origin, Precision, Sex, WithMales
from app.store.session import RoomSession
from tests.factories import Made


def test_a_row_says_where_how_old_and_what_comes_next(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section = made.section(made.tank("T3"))
    dam = made.dam(section=section, code="D1", born_precision=Precision.DAY)
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(15), live=9)
    [row] = fish_list(session, keeper, Filter()).fish
    assert (row.where, row.age, row.stage) == ("T3", "7 months old", "carrying")
    assert row.wait is not None
    assert row.wait.ribbon is not None
    assert row.wait.sentence in fish_table([row])[0]


def test_a_fish_that_left_says_how(session: RoomSession, keeper: Actor, made: Made) -> None:
    one = made.sire()
    fish.leave(session, keeper, one.id, on=made.days_ago(2), departure=Departure.LOST)
    [row] = fish_list(session, keeper, Filter(state="left")).fish
    assert (row.left, row.stage, row.here, row.where) == ("lost 13 June", "lost", False, "")
    assert fish_page(session, keeper, one.id).now == "Lost 13 June."


def test_a_quarantine_runs_to_its_last_day(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    for days in (28, 29):
        told = Arrival(Sex.MALE, made.days_ago(days), made.section().id, line_id=line.id)
        fish.acquire(session, keeper, told)
    first, second = fish_list(session, keeper, Filter()).fish
    assert (first.quarantine_until, second.quarantine_until) == (keeper.today, None)


def test_least_killifish_are_told_a_rate(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, section = made.line("least_killifish"), made.section()
    made.sire(line, section)
    dam = made.dam(line, section)
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(2), live=2)
    coming = fish_page(session, keeper, dam.id).coming
    assert coming is not None
    assert coming.wait.ribbon is None
    assert "fry every few days" in coming.wait.sentence
    assert "fry a week" in coming.brood


def test_the_facts_say_what_is_known_and_what_is_not(session: RoomSession, keeper: Actor, made: Made) -> None:
    told = Arrival(
        Sex.FEMALE,
        made.days_ago(3),
        made.section().id,
        line_id=made.line().id,
        origin=Origin.TRADED,
        source="a friend",
        with_males=WithMales.NO,
        born_on=keeper.today - timedelta(days=100),
        length_mm=30.0,
        water=Water(gh_dh=10.0),
    )
    [one] = fish.acquire(session, keeper, told)
    page = fish_page(session, keeper, one.id)
    assert page.facts == (
        ("Born", "7 March, a guess"),
        ("Came", "12 June, traded or given, a friend"),
        ("Length", "30 mm"),
        ("Males before", "no, a virgin when she came"),
        ("Raised in", "GH 10 °dH"),
    )
    assert page.water_unknown
    assert page.coming is None

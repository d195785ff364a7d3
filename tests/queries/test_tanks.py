"""The tank pages' contents: the list, one tank, and its history."""

from datetime import date

import pytest

from app.queries.tank_list import tank_list
from app.queries.tank_page import tank_page
from app.queries.tanks import standing_words, tank_to_edit, tanks_page
from app.services import readings, stays, tanks
from app.services.broods import log_drop
from app.store.actor import Actor
from app.store.session import NotFound, RoomSession, enter
from app.store.tanks import SectionKind
from tests.conftest import People
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements


def furnish(made: Made, number: int) -> None:
    """Put up so many tanks, each with a pair, a batch and a temperature."""
    line = made.line()
    for _ in range(number):
        section = made.section()
        dam, male = made.dam(line, section), made.sire(line)
        made.batch(line, section)
        stays.move(made.session, made.actor, section_id=section.id, on=made.days_ago(20), fish_ids=[male.id])
        assert dam.id
        readings.log_reading(made.session, made.actor, section.tank_id, temperature_c=24)
    made.session.commit()


def words_of(session: RoomSession, actor: Actor, tank_id: int) -> list[str]:
    return [event.words for event in tank_page(session, actor, tank_id).history]


@pytest.mark.parametrize("path", ["/tanks", "/moves/new", "/readings/new", "/tanks/order"])
def test_a_page_of_many_tanks_costs_no_more_statements_than_one_of_few(
    visit: Visitor, made: Made, path: str
) -> None:
    furnish(made, 3)
    few = statements(visit, path)
    furnish(made, 9)
    assert statements(visit, path) == few


def test_a_tank_with_many_fish_and_temperatures_costs_no_more_statements(visit: Visitor, made: Made) -> None:
    furnish(made, 1)
    tank = tanks_page(made.session, made.actor).tanks[0]
    few = statements(visit, f"/tanks/{tank.id}")
    for days in range(1, 9):
        fish = made.dam(section=made.section())
        stays.move(
            made.session, made.actor, section_id=tank.sections[0].id, on=made.days_ago(9), fish_ids=[fish.id]
        )
        readings.log_reading(made.session, made.actor, tank.id, temperature_c=24, on=made.days_ago(days))
    made.session.commit()
    assert statements(visit, f"/tanks/{tank.id}") == few


def test_the_list_says_who_stands_how_warm_it_is_and_what_comes_next(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    furnish(made, 1)
    free = made.tank("Free")
    rows = tank_list(session, keeper).rows
    busy = next(row for row in rows if not row.tank.empty and row.ahead)
    assert busy.words == "1 dam, 1 sire and 20 young"
    assert busy.last is not None
    assert (busy.last.celsius, busy.last.ago) == (24, "just now")
    assert {ahead.kind for ahead in busy.ahead} == {"fish", "batch"}
    assert [ahead.day for ahead in busy.ahead] == sorted(ahead.day for ahead in busy.ahead)
    assert next(row for row in rows if row.tank.id == free.id).tank.empty


def test_the_place_in_the_walk_counts_the_open_tanks_only(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    first, second = made.tank(), made.tank()
    tanks.close_tank(session, keeper, first.id)
    assert tank_to_edit(session, second.id).position == 1


def test_nobody_is_no_words() -> None:
    assert standing_words(()) == ""


def test_the_history_tells_comings_and_goings_once_for_those_who_went_together(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    here, there = made.section(made.tank("Here")), made.section(made.tank("There"))
    one, two = made.dam(section=here), made.dam(section=here)
    stays.move(session, keeper, section_id=there.id, on=made.days_ago(2), fish_ids=[one.id, two.id])
    told = words_of(session, keeper, here.tank_id)
    assert f"{one.code} and {two.code} moved to There" in told
    assert f"{one.code} came" in told
    undo = {event.words: event.act_id for event in tank_page(session, keeper, there.tank_id).history}
    assert undo[f"{one.code} and {two.code} moved in from Here"] is not None


def test_a_move_within_the_tank_is_told_once(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank("Rack")
    main = made.section(tank)
    box = tanks.add_section(session, keeper, tank.id, name="box", kind=SectionKind.FRY_BOX)
    dam = made.dam(section=main)
    stays.move(session, keeper, section_id=box.id, on=keeper.today, fish_ids=[dam.id])
    told = [
        words for words in words_of(session, keeper, tank.id) if dam.code in words and "came" not in words
    ]
    assert told == [f"{dam.code} moved in to box from Rack"]


def test_the_history_tells_drops_and_sections(session: RoomSession, keeper: Actor, made: Made) -> None:
    tank = made.tank("Rack")
    dam = made.dam(section=made.section(tank), with_males="yes")
    log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(3), live=14)
    tanks.add_section(session, keeper, tank.id, name="left", kind=SectionKind.DIVIDED)
    told = words_of(session, keeper, tank.id)
    assert f"{dam.code} dropped 14 live fry" in told
    assert "Section left added to Rack" in told


def test_a_season_of_temperatures_is_one_entry_of_the_history(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank("Rack")
    on = {date(2025, 12, 30): 24, date(2026, 1, 3): 25.5, date(2026, 2, 2): 24.5, date(2026, 3, 1): 25}
    for day, degrees in on.items():
        readings.log_reading(session, keeper, tank.id, temperature_c=degrees, on=day)
    told = [e for e in tank_page(session, keeper, tank.id).history if e.url]
    assert [(event.day, event.words) for event in told] == [
        (date(2026, 3, 1), "1 temperature, 25 °C, March"),
        (date(2026, 2, 2), "3 temperatures, 24 °C to 25.5 °C, December to February"),
    ]


def test_a_helper_is_offered_to_take_back_only_own_acts(
    session: RoomSession, keeper: Actor, people: People, made: Made
) -> None:
    here, there = made.section(), made.section()
    one, two = made.dam(section=there), made.dam(section=there)
    stays.move(session, keeper, section_id=here.id, on=keeper.today, fish_ids=[one.id])
    stays.move(session, people.helper, section_id=here.id, on=keeper.today, fish_ids=[two.id])
    found = {e.words.split()[0]: e.act_id for e in tank_page(session, people.helper, here.tank_id).history}
    assert found[one.code] is None
    assert found[two.code] is not None
    assert all(e.act_id is None for e in tank_page(session, people.reader, here.tank_id).history)


def test_another_fishrooms_tank_is_not_found(session: RoomSession, people: People, made: Made) -> None:
    tank = made.tank()
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        tank_page(session, people.stranger, tank.id)

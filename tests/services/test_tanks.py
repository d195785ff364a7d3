"""Setting up tanks."""

import pytest

from app.services import stays, tanks
from app.services.refusals import Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.journal import Act, Change
from app.store.session import RoomSession, rows
from app.store.tanks import Section, SectionKind, Tank
from tests.conftest import People
from tests.factories import Made


def test_a_tank_comes_with_its_sections_in_walking_order(session: RoomSession, keeper: Actor) -> None:
    one = tanks.add_tank(session, keeper, name="1", litres=54)
    two = tanks.add_tank(session, keeper, name="2", litres=112, sections=3)
    assert [one.position, two.position] == [1, 2]
    assert [s.name for s in rows(session, Section, Section.tank_id == one.id)] == ["main"]
    assert [s.name for s in rows(session, Section, Section.tank_id == two.id)] == ["A", "B", "C"]


def test_two_tanks_of_one_name_are_refused(session: RoomSession, keeper: Actor) -> None:
    tanks.add_tank(session, keeper, name="Nursery", litres=54)
    with pytest.raises(Refused, match="Choose another name"):
        tanks.add_tank(session, keeper, name=" nursery ", litres=54)


def test_a_helper_cannot_put_up_a_tank(session: RoomSession, keeper: Actor, people: People) -> None:
    with pytest.raises(Forbidden):
        tanks.add_tank(session, people.helper, name="1", litres=54)


def test_a_tank_with_fish_cannot_be_taken_down(session: RoomSession, keeper: Actor, made: Made) -> None:
    section = made.section()
    made.dam(section=section)
    with pytest.raises(Refused, match="Move them first"):
        tanks.close_tank(session, keeper, section.tank_id)


def test_the_last_section_stays(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="last section"):
        tanks.close_section(session, keeper, made.section().id)


def test_the_journal_keeps_before_and_after_and_undo_brings_it_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank("Left")
    tanks.edit_tank(
        session,
        keeper,
        tank.id,
        name="Right",
        litres=60,
        position=4,
        set_point_c=22,
        quarantine=True,
        note="x",
    )
    act = rows(session, Act)[-1]
    change = rows(session, Change, Change.act_id == act.id)[0]
    assert change.before is not None
    assert change.before["name"] == "Left"
    assert change.after is not None
    assert change.after["name"] == "Right"
    undo(session, keeper, act.id)
    back = rows(session, Tank, Tank.id == tank.id)[0]
    assert (back.name, back.litres, back.set_point_c, back.quarantine) == ("Left", 54, None, False)


def test_an_act_that_something_later_rests_on_is_not_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    first = rows(session, Act)[-1]
    tanks.add_section(session, keeper, tank.id, name="box", kind=SectionKind.FRY_BOX)
    with pytest.raises(Refused, match="back first"):
        undo(session, keeper, first.id)
    assert rows(session, Tank, Tank.id == tank.id)


def names(session: RoomSession) -> list[str]:
    return [tank.name for tank in rows(session, Tank, order=(Tank.position, Tank.id))]


def test_neighbours_change_places_in_the_walk(session: RoomSession, keeper: Actor, made: Made) -> None:
    one, _, three = made.tank("One"), made.tank("Two"), made.tank("Three")
    tanks.reorder(session, keeper, three.id, up=True)
    assert names(session) == ["One", "Three", "Two"]
    tanks.reorder(session, keeper, one.id, up=False)
    assert names(session) == ["Three", "One", "Two"]
    undo(session, keeper, rows(session, Act)[-1].id)
    assert names(session) == ["One", "Three", "Two"]
    with pytest.raises(Refused, match="first of the walk"):
        tanks.reorder(session, keeper, one.id, up=True)


def test_a_tank_is_put_at_any_place_of_the_walk(session: RoomSession, keeper: Actor, made: Made) -> None:
    made.tank("One")
    made.tank("Two")
    three = made.tank("Three")
    tanks.edit_tank(
        session,
        keeper,
        three.id,
        name="Three",
        litres=54,
        position=1,
        set_point_c=None,
        quarantine=False,
        note="",
    )
    assert names(session) == ["Three", "One", "Two"]


def test_a_section_taken_out_is_put_back_under_its_name(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    box = tanks.add_section(session, keeper, tank.id, name="Box", kind=SectionKind.FRY_BOX)
    tanks.close_section(session, keeper, box.id)
    with pytest.raises(Refused, match="taken out"):
        tanks.close_section(session, keeper, box.id)
    again = tanks.add_section(session, keeper, tank.id, name="box", kind=SectionKind.DIVIDED, gap_mm=2.0)
    assert (again.id, again.closed_on, again.gap_mm) == (box.id, None, 2.0)
    with pytest.raises(Refused, match="already"):
        tanks.add_section(session, keeper, tank.id, name="BOX", kind=SectionKind.FRY_BOX)


def test_names_too_long_for_the_label_are_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="at most 40"):
        tanks.add_tank(session, keeper, name="x" * 41, litres=54)
    with pytest.raises(Refused, match="at most 40"):
        tanks.add_section(session, keeper, made.tank().id, name="x" * 41, kind=SectionKind.FRY_BOX)


def test_nobody_moves_to_where_it_stands_and_a_closed_batch_stays_closed(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    here, there = made.section(), made.section()
    dam, batch = made.dam(section=here), made.batch(section=here)
    with pytest.raises(Refused, match=r"stands in .* already"):
        stays.move(session, keeper, section_id=here.id, on=keeper.today, fish_ids=[dam.id])
    batch.closed_on = keeper.today
    with pytest.raises(Refused, match="was closed on"):
        stays.move(session, keeper, section_id=there.id, on=keeper.today, batch_ids=[batch.id])

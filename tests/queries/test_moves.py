"""Who can be moved, and who would meet whom."""

from app.queries.moves import NOWHERE, meetings, move_page
from app.services.journal import Entry
from app.services.stays import take_out
from app.store.actor import Actor
from app.store.session import RoomSession
from tests.factories import Made


def test_everybody_is_listed_where_they_stand_the_asked_tank_first(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    one, two = made.section(made.tank("One")), made.section(made.tank("Two"))
    made.dam(section=one)
    batch = made.batch(section=two)
    page = move_page(session, keeper, two.tank_id)
    assert [group.words for group in page.groups] == ["Two", "One"]
    assert page.near == (f"batch-{batch.id}",)


def test_a_fish_that_stands_nowhere_can_be_placed(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam, batch = made.dam(), made.batch()
    entry = Entry(session, keeper, "made for a test")
    take_out(entry, keeper.today, fish=dam)
    take_out(entry, keeper.today, batch=batch)
    group = move_page(session, keeper).groups[0]
    assert group.words == NOWHERE
    assert [one.key for one in group.who] == [f"fish-{dam.id}", f"batch-{batch.id}"]


def test_a_dam_that_would_meet_a_mature_male_is_named(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, there = made.line(), made.section()
    dam, sire = made.dam(line), made.sire(line, there)
    (said,) = meetings(session, keeper, there.id, [f"fish-{dam.id}"], keeper.today)
    assert said == f"{dam.code} will stand with {sire.code}: she counts as exposed from that day."


def test_males_that_come_to_dams_count_alike_and_so_do_grown_batches(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, there = made.line(), made.section()
    dam, batch = made.dam(line, there), made.batch(line, age_days=120)
    (said,) = meetings(session, keeper, there.id, [f"batch-{batch.id}"], keeper.today)
    assert f"{dam.code} will stand with batch {batch.code}" in said


def test_those_who_stood_together_meet_nobody_new(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, here, there = made.line(), made.section(), made.section()
    dam, sire = made.dam(line, here), made.sire(line, here)
    keys = [f"fish-{dam.id}", f"fish-{sire.id}"]
    assert meetings(session, keeper, there.id, keys, keeper.today) == ()


def test_other_species_and_the_young_are_no_meeting(session: RoomSession, keeper: Actor, made: Made) -> None:
    there, line = made.section(), made.line("guppy")
    made.sire(made.line("swordtail"), there)
    made.batch(line, there, age_days=10)
    dam = made.dam(line)
    assert meetings(session, keeper, there.id, [f"fish-{dam.id}"], keeper.today) == ()

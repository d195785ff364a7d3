"""Moving fish on the page."""

from sqlalchemy import select

from app.services.journal import Entry
from app.services.stays import take_out
from app.store.carryings import Carrying
from app.store.session import rows
from app.store.stays import Stay
from tests.factories import Made
from tests.support.client import Visitor


def standing(made: Made, fish_id: int) -> int | None:
    found = select(Stay.section_id).where(Stay.fish_id == fish_id, Stay.to_on.is_(None))
    return made.session.scalar(found)


def test_fish_and_batches_move_together(visit: Visitor, made: Made) -> None:
    here, there = made.section(), made.section(made.tank("There"))
    dam, batch = made.dam(section=here), made.batch(section=here)
    made.session.commit()
    page = visit.send(
        f"/moves/new?tank={here.tank_id}",
        who=[f"fish-{dam.id}", f"batch-{batch.id}"],
        section_id=str(there.id),
        on="2026-06-15",
    )
    assert f"{dam.code} and {batch.code} moved to There" in page.words
    assert standing(made, dam.id) == there.id


def test_a_meeting_is_told_before_it_is_saved_and_saved_on_the_second_time(
    visit: Visitor, made: Made
) -> None:
    line, there = made.line(), made.section(made.tank("There"))
    dam, sire = made.dam(line), made.sire(line, there)
    made.session.commit()
    what = {"who": [f"fish-{dam.id}"], "section_id": str(there.id), "on": "2026-06-15"}
    first = visit.send("/moves/new", **what)
    assert f"{dam.code} will stand with {sire.code}" in first.words
    assert standing(made, dam.id) != there.id
    visit.send("/moves/new", **what, looked=first.value("looked"))
    assert standing(made, dam.id) == there.id
    assert [c.dam_id for c in rows(made.session, Carrying)] == [dam.id]


def test_what_was_not_looked_over_is_not_saved(visit: Visitor, made: Made) -> None:
    line, there = made.line(), made.section()
    one, two = made.dam(line), made.dam(line)
    made.sire(line, there)
    made.session.commit()
    what = {"section_id": str(there.id), "on": "2026-06-15"}
    first = visit.send("/moves/new", who=[f"fish-{one.id}"], **what)
    visit.send("/moves/new", who=[f"fish-{two.id}"], **what, looked=first.value("looked"))
    assert standing(made, two.id) != there.id


def test_a_refused_move_keeps_what_was_ticked(visit: Visitor, made: Made) -> None:
    dam = made.dam()
    made.session.commit()
    page = visit.send("/moves/new", who=[f"fish-{dam.id}"], section_id="", on="2026-06-15")
    assert page.status == 422
    assert "Where to?" in page.words
    ticked = [f.get("value") for f in page.all("input") if f.get("checked") is not None]
    assert ticked == [f"fish-{dam.id}"]


def test_a_move_ahead_of_today_and_one_to_where_it_stands_are_refused(visit: Visitor, made: Made) -> None:
    here, there = made.section(), made.section()
    dam = made.dam(section=here)
    made.session.commit()
    who = [f"fish-{dam.id}"]
    ahead = visit.send("/moves/new", who=who, section_id=str(there.id), on="2026-06-16")
    assert "still ahead" in ahead.words
    same = visit.send("/moves/new", who=who, section_id=str(here.id), on="2026-06-15")
    assert "already. Leave it out." in same.words


def test_a_fish_that_stands_nowhere_is_placed(visit: Visitor, made: Made) -> None:
    dam, there = made.dam(), made.section()
    take_out(Entry(made.session, made.actor, "made for a test"), made.actor.today, fish=dam)
    made.session.commit()
    assert "Standing nowhere" in visit.open("/moves/new").words
    visit.send("/moves/new", who=[f"fish-{dam.id}"], section_id=str(there.id), on="2026-06-15")
    assert standing(made, dam.id) == there.id


def test_an_empty_fishroom_is_told_where_to_begin(visit: Visitor) -> None:
    assert "Nobody to move" in visit.open("/moves/new").words


def test_a_helper_moves_and_a_reader_does_not(helping: Visitor, reading: Visitor, made: Made) -> None:
    dam, there = made.dam(), made.section()
    made.session.commit()
    helping.send("/moves/new", who=[f"fish-{dam.id}"], section_id=str(there.id), on="2026-06-15")
    assert standing(made, dam.id) == there.id
    reading.open("/moves/new", expect=403)


def test_another_fishrooms_fish_and_sections_are_not_found(
    visit: Visitor, outsider: Visitor, made: Made
) -> None:
    dam, there = made.dam(), made.section()
    made.session.commit()
    outsider.open("/tanks")
    page = outsider.post(
        "/moves/new", "/tanks/new", who=[f"fish-{dam.id}"], section_id=str(there.id), on="2026-06-15"
    )
    assert page.status == 404

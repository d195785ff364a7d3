"""Broodstock: fish that come and fish that leave."""

from datetime import date, timedelta

import pytest

from app.core.problems import Problem
from app.services import broods, fish, pairings
from app.services.fish import Arrival
from app.services.fish_checks import Water
from app.services.lines import NewLine
from app.services.refusals import NotFound, Refused
from app.services.stays import move
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Departure, Fish, Sex, WithMales
from app.store.journal import Act
from app.store.lines import Line
from app.store.session import RoomSession, enter, rows
from app.store.stays import Stay
from tests.conftest import People
from tests.factories import Made

TODAY = date(2026, 6, 15)
BOUGHT = TODAY - timedelta(days=3)


def arrival(made: Made, **more: object) -> Arrival:
    values: dict[str, object] = {"sex": Sex.FEMALE, "arrived_on": BOUGHT, **more}
    if "section_id" not in values:
        values["section_id"] = made.section().id
    if "line_id" not in values and "new_line" not in values:
        values["line_id"] = made.line(name="Blue Grass").id
    return Arrival(**values)  # type: ignore[arg-type]


def test_a_bought_female_stands_somewhere_is_quarantined_and_may_carry(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section = made.section()
    [dam] = fish.acquire(session, keeper, arrival(made, section_id=section.id, source="a club auction"))
    assert (dam.code, dam.quarantine_until) == ("BG1", BOUGHT + timedelta(days=28))
    assert [(s.section_id, s.from_on, s.to_on) for s in rows(session, Stay)] == [(section.id, BOUGHT, None)]
    assert [(c.basis, c.started_on) for c in rows(session, Carrying)] == [(Basis.ARRIVAL, BOUGHT)]


def test_several_come_at_once_with_codes_of_their_own(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    came = fish.acquire(session, keeper, arrival(made, number=3, codes="Q"))
    assert [one.code for one in came] == ["Q1", "Q2", "Q3"]
    assert len(rows(session, Stay)) == len(rows(session, Carrying)) == 3
    act = rows(session, Act)[-1]
    assert act.words.startswith("Q1, Q2 and Q3 came into")
    undo(session, keeper, act.id)
    assert not rows(session, Fish)


def test_a_virgin_has_no_clock_until_she_meets_a_male(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    told = arrival(made, line_id=line.id, section_id=section.id, with_males=WithMales.NO)
    [dam] = fish.acquire(session, keeper, told)
    assert not rows(session, Carrying)
    male = arrival(made, line_id=line.id, section_id=section.id, sex=Sex.MALE, arrived_on=TODAY)
    [sire] = fish.acquire(session, keeper, male)
    assert [(c.dam_id, c.basis, c.started_on) for c in rows(session, Carrying)] == [
        (dam.id, Basis.EXPOSURE, TODAY)
    ]
    assert sire.with_males is WithMales.UNKNOWN


def test_a_male_logged_late_meets_only_those_who_were_there_then(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    made.dam(line, section, arrived_on=made.days_ago(2))
    fish.acquire(
        session,
        keeper,
        arrival(made, line_id=line.id, section_id=section.id, sex=Sex.MALE, arrived_on=made.days_ago(9)),
    )
    assert [c.started_on for c in rows(session, Carrying)] == [made.days_ago(2)]


def test_a_female_too_young_on_arrival_does_not_carry(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    fish.acquire(session, keeper, arrival(made, born_on=BOUGHT - timedelta(days=14)))
    assert not rows(session, Carrying)


def test_a_line_begins_with_its_first_fish_in_one_act(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    [one] = fish.acquire(session, keeper, arrival(made, new_line=NewLine("Lyra", "swordtail")))
    assert [(line.id, line.species) for line in rows(session, Line)] == [(one.line_id, "swordtail")]
    undo(session, keeper, rows(session, Act)[-1].id)
    assert not rows(session, Line)


def test_the_water_it_came_from_is_kept(session: RoomSession, keeper: Actor, made: Made) -> None:
    [one] = fish.acquire(session, keeper, arrival(made, water=Water(3.0, 14.0, 7.8, 26.0)))
    assert (one.origin_salinity_g_per_l, one.origin_gh_dh, one.origin_ph, one.origin_temperature_c) == (
        3.0,
        14.0,
        7.8,
        26.0,
    )


def test_no_quarantine_is_none(session: RoomSession, keeper: Actor, made: Made) -> None:
    [one] = fish.acquire(session, keeper, arrival(made, quarantine_days=0))
    assert one.quarantine_until is None


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"arrived_on": TODAY + timedelta(days=1)}, "arrived_on"),
        ({"born_on": TODAY}, "born_on"),
        ({"line_id": None}, "line_id"),
        ({"new_line": NewLine("", "guppy")}, "new_line"),
        ({"new_line": NewLine("Lyra", "")}, "new_species"),
        ({"length_mm": 440.0}, "length_mm"),
        ({"water": Water(ph=78.0)}, "ph"),
        ({"water": Water(salinity_g_per_l=-1.0)}, "salinity_g_per_l"),
        ({"quarantine_days": -1}, "quarantine_days"),
        ({"number": 0}, "number"),
        ({"number": 3, "codes": "A, B"}, "codes"),
        ({"name": "x" * 61}, "name"),
        ({"source": "x" * 121}, "source"),
    ],
)
def test_an_impossible_arrival_is_refused_on_its_field(
    session: RoomSession, keeper: Actor, made: Made, more: dict[str, object], field: str
) -> None:
    with pytest.raises(Problem) as refusal:
        fish.acquire(session, keeper, arrival(made, **more))
    assert refusal.value.field == field
    assert not rows(session, Fish)


def test_a_helper_adds_fish_but_begins_no_line(session: RoomSession, made: Made, people: People) -> None:
    fish.acquire(session, people.helper, arrival(made))
    with pytest.raises(Forbidden):
        fish.acquire(session, people.helper, arrival(made, new_line=NewLine("Lyra", "swordtail")))
    with pytest.raises(Forbidden):
        fish.acquire(session, people.reader, arrival(made, line_id=made.line().id))


def test_a_section_of_another_fishroom_is_not_found(session: RoomSession, made: Made, people: People) -> None:
    told = arrival(made, new_line=NewLine("Mine", "guppy"))
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        fish.acquire(session, people.stranger, told)


def test_a_dam_that_died_stands_nowhere_and_waits_no_more(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    [dam] = fish.acquire(session, keeper, arrival(made))
    fish.leave(session, keeper, dam.id, on=TODAY, departure=Departure.DIED, note="bent spine")
    assert (dam.left_on, dam.departure, dam.note) == (TODAY, Departure.DIED, "bent spine")
    assert [stay.to_on for stay in rows(session, Stay)] == [TODAY]
    assert [(c.outcome, c.ended_on) for c in rows(session, Carrying)] == [(Outcome.LEFT, TODAY)]
    undo(session, keeper, rows(session, Act)[-1].id)
    back = rows(session, Fish)[0]
    assert (back.left_on, back.departure, back.note) == (None, None, "")


def test_a_pairing_ends_when_its_only_sire_leaves(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, section = made.line(), made.section()
    dam, sire, other = made.dam(line, section), made.sire(line, section), made.sire(line, section)
    pairing = pairings.make_pairing(
        session,
        keeper,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id, other.id],
        started_on=made.days_ago(20),
    )
    fish.leave(session, keeper, sire.id, on=made.days_ago(5), departure=Departure.LOST)
    assert pairing.ended_on is None
    fish.leave(session, keeper, other.id, on=made.days_ago(3), departure=Departure.DIED)
    assert pairing.ended_on == made.days_ago(3)


@pytest.mark.parametrize(
    ("days", "words"), [(1, "still ahead"), (-61, "came on"), (-11, "dropped on"), (-9, "Give a later day")]
)
def test_a_fish_cannot_leave_on_an_impossible_day(
    session: RoomSession, keeper: Actor, made: Made, days: int, words: str
) -> None:
    dam = made.dam()
    if words == "dropped on":
        broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(10), live=9)
    if words == "Give a later day":
        move(session, keeper, section_id=made.section().id, on=made.days_ago(2), fish_ids=[dam.id])
    with pytest.raises(Refused, match=words) as refusal:
        fish.leave(session, keeper, dam.id, on=TODAY + timedelta(days=days), departure=Departure.DIED)
    assert refusal.value.field == "on"


def test_a_fish_leaves_once_and_rehoming_is_logged_elsewhere(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    one = made.sire()
    with pytest.raises(Refused, match="rehoming"):
        fish.leave(session, keeper, one.id, on=TODAY, departure=Departure.REHOMED)
    fish.leave(session, keeper, one.id, on=TODAY, departure=Departure.DIED)
    with pytest.raises(Refused, match="left on"):
        fish.leave(session, keeper, one.id, on=TODAY, departure=Departure.DIED)

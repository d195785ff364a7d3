"""Correcting a fish, and what its history and kin rule out."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.services import broods, pairings
from app.services.fish_checks import Water
from app.services.fish_edits import FishTold, edit_fish
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Departure, Fish, Sex, WithMales
from app.store.journal import Act
from app.store.session import RoomSession, enter, rows
from app.store.stays import Stay
from tests.conftest import People
from tests.factories import Made

TODAY = date(2026, 6, 15)


def told(fish: Fish) -> FishTold:
    """Return a fish as it stands, to change one thing of."""
    return FishTold(
        fish.code,
        fish.name,
        fish.sex,
        fish.line_id,
        fish.born_on,
        fish.born_precision,
        fish.arrived_on,
        fish.source,
        fish.with_males,
        fish.length_mm,
        Water(),
        fish.quarantine_until,
        fish.dam_id,
        fish.sire_id,
        fish.note,
    )


def refused(session: RoomSession, keeper: Actor, fish: Fish, words: str, **more: object) -> str:
    with pytest.raises(Refused, match=words) as refusal:
        edit_fish(session, keeper, fish.id, replace(told(fish), **more))  # type: ignore[arg-type]
    return refusal.value.field


def test_a_fish_is_corrected_and_the_correction_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    fish = made.dam(code="A1")
    edit_fish(session, keeper, fish.id, replace(told(fish), code=" B1 ", name="Amber", length_mm=41.0))
    assert (fish.code, fish.name, fish.length_mm) == ("B1", "Amber", 41.0)
    undo(session, keeper, rows(session, Act)[-1].id)
    assert rows(session, Fish)[0].code == "A1"


def test_a_code_in_use_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    made.dam(code="A1")
    assert refused(session, keeper, made.dam(), "already", code="a1") == "code"


def test_a_birth_after_the_arrival_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    assert refused(session, keeper, made.dam(), "after it came", born_on=TODAY) == "born_on"


def test_a_male_dam_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    child = made.dam(line, born_on=TODAY - timedelta(days=100))
    sire = made.sire(line)
    assert refused(session, keeper, child, "no dam", dam_id=sire.id) == "dam_id"
    assert refused(session, keeper, child, "own parent", dam_id=child.id) == "dam_id"


def test_a_parent_younger_than_its_child_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    child = made.dam(line)
    young = made.dam(line, born_on=TODAY - timedelta(days=100))
    assert refused(session, keeper, child, "no earlier than", dam_id=young.id) == "dam_id"


def test_a_birth_date_that_makes_the_young_older_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    dam = made.dam(line)
    made.sire(line, dam_id=dam.id, born_on=TODAY - timedelta(days=100))
    late = TODAY - timedelta(days=90)
    assert refused(session, keeper, dam, "A parent is older", born_on=late) == "born_on"


def test_its_own_ancestor_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    granddam = made.dam(line, born_on=None)
    sire = made.sire(line, dam_id=granddam.id, born_on=None)
    child = made.dam(line, sire_id=sire.id, born_on=None)
    assert refused(session, keeper, granddam, "is an ancestor", dam_id=child.id) == "dam_id"


def test_a_dam_of_a_kind_that_cannot_cross_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam(made.line("swordtail"), born_on=TODAY - timedelta(days=400))
    assert refused(session, keeper, made.dam(), "no young like", dam_id=dam.id) == "dam_id"


def test_a_dam_that_died_before_the_birth_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dam = made.dam(line, born_on=TODAY - timedelta(days=600), arrived_on=TODAY - timedelta(days=500))
    dam.left_on, dam.departure = TODAY - timedelta(days=300), Departure.DIED
    assert refused(session, keeper, made.dam(line), "before", dam_id=dam.id) == "dam_id"


def test_known_parents_are_kept(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dam, sire = (
        make(line, born_on=TODAY - timedelta(days=500), arrived_on=TODAY - timedelta(days=400))
        for make in (made.dam, made.sire)
    )
    child = made.dam(line)
    edit_fish(session, keeper, child.id, replace(told(child), dam_id=dam.id, sire_id=sire.id))
    assert (child.dam_id, child.sire_id) == (dam.id, sire.id)


def test_a_dam_that_dropped_stays_female_and_old_enough(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam()
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(10), live=9)
    assert refused(session, keeper, dam, "is a dam", sex=Sex.MALE) == "sex"
    young = {"born_on": made.days_ago(20), "arrived_on": made.days_ago(12)}
    assert refused(session, keeper, dam, "too young", **young) == "born_on"
    assert refused(session, keeper, dam, "then or earlier", arrived_on=TODAY) == "arrived_on"


def test_a_fish_that_was_paired_keeps_its_sex_and_species(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    pairings.make_pairing(
        session,
        keeper,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(3),
    )
    assert refused(session, keeper, sire, "took part", sex=Sex.UNKNOWN) == "sex"
    other = made.line("halfbeak").id
    assert refused(session, keeper, sire, "same species", line_id=other) == "line_id"


def test_the_first_stay_and_the_clock_follow_the_day_of_arrival(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam()
    edit_fish(session, keeper, dam.id, replace(told(dam), with_males=WithMales.UNKNOWN))
    assert [c.started_on for c in rows(session, Carrying)] == [made.days_ago(60)]
    edit_fish(session, keeper, dam.id, replace(told(dam), arrived_on=made.days_ago(50)))
    assert [stay.from_on for stay in rows(session, Stay)] == [made.days_ago(50)]
    assert [c.started_on for c in rows(session, Carrying)] == [made.days_ago(50)]


def test_a_clock_that_cannot_run_is_closed_when_she_turns_out_a_virgin(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam()
    edit_fish(session, keeper, dam.id, replace(told(dam), with_males=WithMales.YES))
    edit_fish(session, keeper, dam.id, replace(told(dam), with_males=WithMales.NO))
    assert [(c.outcome, c.ended_on) for c in rows(session, Carrying)] == [(Outcome.NOT_CARRYING, TODAY)]


def test_a_juvenile_that_turns_out_male_starts_the_clocks_around_him(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam = made.dam(line, section)
    young = made.fish(Sex.UNKNOWN, line, section, arrived_on=made.days_ago(20))
    assert not rows(session, Carrying)
    edit_fish(session, keeper, young.id, replace(told(young), sex=Sex.MALE))
    assert [(c.dam_id, c.started_on) for c in rows(session, Carrying)] == [(dam.id, made.days_ago(20))]


def test_a_juvenile_that_turns_out_female_has_a_clock_from_when_she_met_males(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    made.sire(line, section, arrived_on=made.days_ago(8))
    young = made.fish(Sex.UNKNOWN, line, section)
    edit_fish(session, keeper, young.id, replace(told(young), sex=Sex.FEMALE))
    assert [(c.basis, c.started_on) for c in rows(session, Carrying)] == [(Basis.EXPOSURE, made.days_ago(8))]


def test_only_the_keeper_corrects_a_fish_and_only_in_the_own_fishroom(
    session: RoomSession, made: Made, people: People
) -> None:
    fish = made.dam()
    with pytest.raises(Forbidden):
        edit_fish(session, people.helper, fish.id, told(fish))
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        edit_fish(session, people.stranger, fish.id, told(fish))

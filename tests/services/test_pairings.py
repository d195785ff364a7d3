"""Making, changing and ending pairings."""

from datetime import date, timedelta

import pytest

from app.services import broods, pairings
from app.services.refusals import Refused
from app.services.stays import open_stay
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.carryings import Basis, Carrying
from app.store.fish import Fish
from app.store.journal import Act
from app.store.pairings import Pairing, PairingMember
from app.store.session import NotFound, RoomSession, find, rows
from app.store.stays import Stay
from app.store.tanks import Section
from tests.conftest import People
from tests.factories import Made


def pair(
    session: RoomSession,
    actor: Actor,
    section: Section,
    dams: list[Fish],
    sires: list[Fish],
    on: date | None = None,
    *,
    move: bool = True,
) -> Pairing:
    return pairings.make_pairing(
        session,
        actor,
        section_id=section.id,
        dam_ids=[dam.id for dam in dams],
        sire_ids=[sire.id for sire in sires],
        started_on=on or actor.today,
        move=move,
    )


def waits(session: RoomSession, dam: Fish) -> list[Carrying]:
    return list(rows(session, Carrying, Carrying.dam_id == dam.id))


def test_a_pairing_brings_its_members_together_and_starts_their_clocks(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dams = [made.dam(line), made.dam(line)]
    sire = made.sire(line)
    pairing = pair(session, keeper, section, dams, [sire], made.days_ago(3))
    assert len(rows(session, PairingMember, PairingMember.pairing_id == pairing.id)) == 3
    for fish in [*dams, sire]:
        stay = open_stay(session, fish=fish)
        assert stay is not None
        assert (stay.section_id, stay.from_on) == (section.id, made.days_ago(3))
    for dam in dams:
        (wait,) = waits(session, dam)
        assert (wait.basis, wait.started_on) == (Basis.EXPOSURE, made.days_ago(3))
        assert wait.pairing_id == pairing.id


def test_a_dam_whose_clock_runs_keeps_it(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, section = made.line(), made.section()
    dam = made.dam(line, section)
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(10), live=12)
    pair(session, keeper, section, [dam], [made.sire(line)])
    (wait,) = [w for w in waits(session, dam) if w.ended_on is None]
    assert (wait.basis, wait.started_on) == (Basis.LAST_DROP, made.days_ago(10))


def test_a_goodeid_after_her_drop_waits_only_once_a_male_is_with_her(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("redtail_goodeid")
    dam = made.dam(line)
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(20), live=12)
    assert not waits(session, dam)
    pairing = pair(session, keeper, made.section(), [dam], [made.sire(line)], made.days_ago(5))
    (wait,) = waits(session, dam)
    assert (wait.basis, wait.started_on, wait.pairing_id) == (
        Basis.EXPOSURE,
        made.days_ago(5),
        pairing.id,
    )


def test_other_grown_females_in_the_section_are_exposed_too(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    bystander = made.dam(line, section)
    pair(session, keeper, section, [made.dam(line)], [made.sire(line)])
    (wait,) = waits(session, bystander)
    assert wait.pairing_id is None


def test_a_pairing_is_taken_back_whole(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dam, sire = made.dam(line), made.sire(line)
    before = open_stay(session, fish=dam)
    assert before is not None
    pair(session, keeper, made.section(), [dam], [sire])
    undo(session, keeper, rows(session, Act)[-1].id)
    assert not rows(session, Pairing)
    assert not waits(session, dam)
    assert open_stay(session, fish=dam) == before
    assert len(rows(session, Stay)) == 2


@pytest.mark.parametrize(("dams", "sires", "field"), [([], ["sire"], "dam_ids"), (["dam"], [], "sire_ids")])
def test_a_pairing_of_one_sex_is_refused(
    session: RoomSession, keeper: Actor, made: Made, dams: list[str], sires: list[str], field: str
) -> None:
    with pytest.raises(Refused) as refusal:
        pair(session, keeper, made.section(), [made.dam() for _ in dams], [made.sire() for _ in sires])
    assert refusal.value.field == field


def test_a_male_dam_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    with pytest.raises(Refused, match="other side"):
        pair(session, keeper, made.section(), [made.sire(line)], [made.sire(line)])


def test_a_fish_that_left_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dam = made.dam(line, left_on=made.days_ago(2))
    with pytest.raises(Refused, match="left on 13 June"):
        pair(session, keeper, made.section(), [dam], [made.sire(line)])


def test_a_pairing_in_the_future_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    with pytest.raises(Refused, match="still ahead") as refusal:
        pair(session, keeper, made.section(), [made.dam(line)], [made.sire(line)], made.days_ago(-1))
    assert refusal.value.field == "started_on"


def test_species_that_cannot_cross_are_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="no young together"):
        pair(session, keeper, made.section(), [made.dam(made.line())], [made.sire(made.line("swordtail"))])


def test_species_that_cross_may_be_paired(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam, sire = made.dam(made.line("guppy")), made.sire(made.line("endler"))
    pair(session, keeper, made.section(), [dam], [sire])
    assert len(waits(session, dam)) == 1


def test_a_fish_in_a_pairing_elsewhere_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    sire = made.sire(line)
    pair(session, keeper, made.section(), [made.dam(line)], [sire])
    with pytest.raises(Refused, match="End that pairing") as refusal:
        pair(session, keeper, made.section(), [made.dam(line)], [sire])
    assert refusal.value.field == "sire_ids"


def test_a_dam_paired_here_already_is_refused_but_her_male_may_take_another(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line), made.sire(line)
    pair(session, keeper, section, [dam], [sire])
    with pytest.raises(Refused, match="is in the pairing"):
        pair(session, keeper, section, [dam], [made.sire(line)])
    assert pair(session, keeper, section, [made.dam(line)], [sire]).ended_on is None


def test_a_start_before_a_member_came_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    with pytest.raises(Refused, match="came on") as refusal:
        pair(session, keeper, made.section(), [made.dam(line)], [made.sire(line)], made.days_ago(61))
    assert refusal.value.field == "started_on"


def test_a_start_before_a_member_was_born_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dam = made.dam(line, born_on=made.days_ago(20))
    with pytest.raises(Refused, match="was born on"):
        pair(session, keeper, made.section(), [dam], [made.sire(line)], made.days_ago(30))


def test_a_young_fish_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dam = made.dam(line, born_on=made.days_ago(20), arrived_on=made.days_ago(20))
    with pytest.raises(Refused, match="not grown before"):
        pair(session, keeper, made.section(), [dam], [made.sire(line)])


def test_a_start_before_a_members_last_move_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam = made.dam(line, arrived_on=made.days_ago(60))
    pairing = pair(session, keeper, section, [dam], [made.sire(line)], made.days_ago(10))
    pairings.end_pairing(session, keeper, pairing.id, on=made.days_ago(5))
    with pytest.raises(Refused, match="came to T") as refusal:
        pair(session, keeper, made.section(), [dam], [made.sire(line)], made.days_ago(20))
    assert refusal.value.field == "started_on"


def test_members_elsewhere_are_refused_where_nobody_may_be_moved(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    with pytest.raises(Refused, match="Let it be moved"):
        pair(session, keeper, made.section(), [made.dam(line)], [made.sire(line)], move=False)


def test_a_reader_cannot_pair(session: RoomSession, keeper: Actor, made: Made, people: People) -> None:
    line = made.line()
    with pytest.raises(Forbidden):
        pair(session, people.reader, made.section(), [made.dam(line)], [made.sire(line)])


def test_another_fishrooms_fish_is_not_found(
    session: RoomSession, keeper: Actor, made: Made, people: People
) -> None:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line), made.sire(line)
    session.info["fishroom_id"] = people.stranger.fishroom_id
    with pytest.raises(NotFound):
        pair(session, people.stranger, section, [dam], [sire])


def test_ending_a_pairing_moves_the_males_and_exposes_who_they_meet(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, away = made.line(), made.section()
    dam, sire, other = made.dam(line), made.sire(line), made.dam(line, away)
    pairing = pair(session, keeper, made.section(), [dam], [sire], made.days_ago(10))
    pairings.end_pairing(session, keeper, pairing.id, on=made.days_ago(1), males_to=away.id)
    stay = open_stay(session, fish=sire)
    assert stay is not None
    assert stay.section_id == away.id
    assert waits(session, other)[0].started_on == made.days_ago(1)
    with pytest.raises(Refused, match="ended on 14 June"):
        pairings.end_pairing(session, keeper, pairing.id, on=keeper.today)


def test_an_end_before_the_start_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    pairing = pair(session, keeper, made.section(), [made.dam(line)], [made.sire(line)], made.days_ago(3))
    with pytest.raises(Refused, match="began on 12 June"):
        pairings.end_pairing(session, keeper, pairing.id, on=made.days_ago(4))


def test_a_dam_joins_and_her_clock_starts(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    pairing = pair(session, keeper, made.section(), [made.dam(line)], [made.sire(line)], made.days_ago(9))
    late = made.dam(line)
    pairings.add_member(session, keeper, pairing.id, fish_id=late.id, on=made.days_ago(2))
    (wait,) = waits(session, late)
    assert (wait.started_on, wait.pairing_id) == (made.days_ago(2), pairing.id)
    with pytest.raises(Refused, match="already"):
        pairings.add_member(session, keeper, pairing.id, fish_id=late.id, on=keeper.today)


def test_a_fish_of_another_kind_does_not_join(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    pairing = pair(session, keeper, made.section(), [made.dam(line)], [made.sire(line)])
    with pytest.raises(Refused, match="no young together") as refusal:
        pairings.add_member(
            session, keeper, pairing.id, fish_id=made.dam(made.line("swordtail")).id, on=keeper.today
        )
    assert refusal.value.field == "fish_id"


def test_a_dam_is_taken_out_but_never_the_last(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, away = made.line(), made.section()
    dams = [made.dam(line), made.dam(line)]
    pairing = pair(session, keeper, made.section(), dams, [made.sire(line)])

    def take_out(dam: Fish) -> None:
        pairings.remove_member(
            session, keeper, pairing.id, fish_id=dam.id, to_section_id=away.id, on=keeper.today
        )

    take_out(dams[0])
    stay = open_stay(session, fish=dams[0])
    assert stay is not None
    assert stay.section_id == away.id
    with pytest.raises(Refused, match="End the pairing instead"):
        take_out(dams[1])
    with pytest.raises(Refused, match="not in this pairing"):
        take_out(dams[0])


def test_a_dam_that_dropped_stays_in_the_record(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    dams = [made.dam(line), made.dam(line)]
    pairing = pair(
        session, keeper, made.section(), dams, [made.sire(line)], keeper.today - timedelta(days=30)
    )
    brood = broods.log_drop(session, keeper, dam_id=dams[0].id, dropped_from=keeper.today, live=4)
    assert find(session, type(brood), brood.id).pairing_id == pairing.id
    with pytest.raises(Refused, match="has dropped"):
        pairings.remove_member(
            session, keeper, pairing.id, fish_id=dams[0].id, to_section_id=None, on=keeper.today
        )

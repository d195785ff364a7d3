"""What happened to one fish."""

from app.queries.fish_page import fish_page
from app.services import broods, fish, pairings, signs
from app.services.fish import Arrival
from app.services.stays import move
from app.store.actor import Actor
from app.store.fish import Departure, Sex
from app.store.session import RoomSession
from app.store.signs import SignKind
from tests.conftest import People
from tests.factories import Made


def test_everything_is_told_once_newest_first_and_can_be_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, here = made.line(), made.section(made.tank("T1"))
    there = made.section(made.tank("T2"))
    sire = made.sire(line, there, code="S1")
    [dam] = fish.acquire(
        session, keeper, Arrival(Sex.FEMALE, made.days_ago(50), here.id, line_id=line.id, source="a friend")
    )
    pairings.make_pairing(
        session,
        keeper,
        section_id=there.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(40),
    )
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(10), live=9)
    move(session, keeper, section_id=here.id, on=made.days_ago(8), fish_ids=[dam.id])
    signs.log_sign(session, keeper, dam.id, kind=SignKind.HIDING, seen_on=made.days_ago(2))
    fish.leave(session, keeper, dam.id, on=made.days_ago(1), departure=Departure.LOST)
    history = fish_page(session, keeper, dam.id).history
    assert [event.words for event in history] == [
        f"{dam.code} was lost on 14 June",
        "Pairing with S1 ended",
        "Hiding seen",
        "Moved to T1",
        "Dropped 9 live fry",
        "Put with S1 in T2",
        "Came into T1, bought",
    ]
    assert [event.act_id is None for event in history] == [False, True, *[False] * 5]


def test_a_helper_is_offered_only_to_take_back_the_own_entries(
    session: RoomSession, people: People, made: Made
) -> None:
    dam = made.dam()
    signs.log_sign(session, people.helper, dam.id, kind=SignKind.HIDING, seen_on=made.days_ago(2))
    own = [event.words for event in fish_page(session, people.helper, dam.id).history if event.act_id]
    assert own == ["Hiding seen"]
    assert not [event for event in fish_page(session, people.reader, dam.id).history if event.act_id]

"""Signs of a coming drop."""

from datetime import date, timedelta

import pytest

from app.services import signs
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.fish import Departure
from app.store.journal import Act
from app.store.session import RoomSession, enter, rows
from app.store.signs import Sign, SignKind
from tests.conftest import People
from tests.factories import Made

TODAY = date(2026, 6, 15)


def test_a_sign_is_logged_and_taken_back(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam(code="Amber")
    signs.log_sign(session, keeper, dam.id, kind=SignKind.HIDING, seen_on=TODAY, note="behind the moss ")
    act = rows(session, Act)[-1]
    assert (act.subject, act.words) == (f"fish:{dam.id}", "Amber: hiding seen on 15 June")
    assert [sign.note for sign in rows(session, Sign)] == ["behind the moss"]
    undo(session, keeper, act.id)
    assert not rows(session, Sign)


def test_a_sign_on_a_male_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="is a male"):
        signs.log_sign(session, keeper, made.sire().id, kind=SignKind.HIDING, seen_on=TODAY)


def test_the_same_sign_twice_on_one_day_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    signs.log_sign(session, keeper, dam.id, kind=SignKind.OFF_FOOD, seen_on=TODAY)
    signs.log_sign(session, keeper, dam.id, kind=SignKind.HIDING, seen_on=TODAY)
    with pytest.raises(Refused, match="already"):
        signs.log_sign(session, keeper, dam.id, kind=SignKind.OFF_FOOD, seen_on=TODAY)


@pytest.mark.parametrize(("days", "words"), [(1, "still ahead"), (-61, "came on"), (-4, "left on")])
def test_a_sign_on_an_impossible_day_is_refused(
    session: RoomSession, keeper: Actor, made: Made, days: int, words: str
) -> None:
    dam = made.dam()
    if words == "left on":
        dam.left_on, dam.departure = TODAY - timedelta(days=5), Departure.DIED
    with pytest.raises(Refused, match=words) as refusal:
        signs.log_sign(session, keeper, dam.id, kind=SignKind.HIDING, seen_on=TODAY + timedelta(days=days))
    assert refusal.value.field == "seen_on"


def test_a_helper_logs_signs_and_a_reader_does_not(session: RoomSession, made: Made, people: People) -> None:
    dam = made.dam()
    signs.log_sign(session, people.helper, dam.id, kind=SignKind.HIDING, seen_on=TODAY)
    with pytest.raises(Forbidden):
        signs.log_sign(session, people.reader, dam.id, kind=SignKind.OFF_FOOD, seen_on=TODAY)


def test_a_dam_of_another_fishroom_is_not_found(session: RoomSession, made: Made, people: People) -> None:
    dam = made.dam()
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        signs.log_sign(session, people.stranger, dam.id, kind=SignKind.HIDING, seen_on=TODAY)

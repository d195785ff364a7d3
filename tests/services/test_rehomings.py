"""Fish that go to other keepers."""

import pytest

from app.queries.books import books
from app.services import rehomings, stays
from app.services.refusals import Refused
from app.services.undo import undo
from app.store.actor import Actor
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Departure
from app.store.journal import Act
from app.store.rehomings import Rehoming
from app.store.session import RoomSession, rows
from tests.factories import Made


def test_some_of_a_batch_go_and_the_rest_stays(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20)
    gone = rehomings.rehome(
        session, keeper, batch.id, on=keeper.today, number=12, to_whom=" a club friend ", price=30.0
    )
    assert (gone.to_whom, gone.price) == ("a club friend", 30.0)
    book = books(session, keeper.fishroom_id, [batch.id])[batch.id]
    assert (book.alive, book.rehomed) == (8, 12)


def test_more_rehomed_than_alive_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20)
    with pytest.raises(Refused, match="only 20 were alive on 15 June; 21 can't be rehomed") as caught:
        rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=21)
    assert caught.value.field == "number"
    assert not rows(session, Rehoming)


def test_rehoming_all_closes_the_batch(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20)
    rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=20)
    assert batch.closed_on == keeper.today
    assert stays.open_stay(session, batch=batch) is None


def test_a_rehomed_dam_waits_for_nothing_and_comes_back_whole(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    from app.services import carryings  # noqa: PLC0415 - only this test starts a wait
    from app.services.journal import Entry  # noqa: PLC0415

    dam = made.dam(made.line("guppy"))
    carryings.start(Entry(session, keeper, "made for a test"), dam, Basis.EXPOSURE, made.days_ago(20))
    rehomings.rehome_fish(session, keeper, dam.id, on=keeper.today, to_whom="a neighbour", price=5)
    assert (dam.left_on, dam.departure) == (keeper.today, Departure.REHOMED)
    assert stays.open_stay(session, fish=dam) is None
    assert rows(session, Carrying, Carrying.dam_id == dam.id)[0].outcome is Outcome.LEFT
    with pytest.raises(Refused, match="left on"):
        rehomings.rehome_fish(session, keeper, dam.id, on=keeper.today)
    undo(session, keeper, rows(session, Act)[-1].id)
    assert dam.left_on is None
    assert stays.open_stay(session, fish=dam) is not None
    assert rows(session, Carrying, Carrying.dam_id == dam.id)[0].ended_on is None


def test_a_price_below_nothing_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="0 or more") as caught:
        rehomings.rehome(session, keeper, made.batch().id, on=keeper.today, number=1, price=-3)
    assert caught.value.field == "price"

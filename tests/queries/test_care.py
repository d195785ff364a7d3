"""What the rules about care are told of fry and the fish they stand with."""

from datetime import timedelta

from app.queries.facts import morning
from app.services.batch_splits import sort_sexes
from app.services.water_tests import log_test
from app.store.actor import Actor
from app.store.readings import Quantity
from app.store.session import RoomSession
from tests.factories import Made


def grown(session: RoomSession, keeper: Actor) -> dict[str, tuple[str, ...]]:
    return {fry.code: fry.grown for fry in morning(session, keeper).facts.fry}


def test_fry_are_told_with_the_grown_fish_of_their_own_section(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    shared = made.section()
    batch, apart = made.batch(section=shared, age_days=10), made.batch(age_days=10)
    dam, sister = made.dam(section=shared), made.dam(section=shared, born_on=made.days_ago(40))
    unknown = made.sire(section=shared, born_on=None)
    assert grown(session, keeper) == {batch.code: tuple(sorted([dam.code, unknown.code])), apart.code: ()}
    assert sister.code not in grown(session, keeper)[batch.code]


def test_a_batch_that_was_sexed_is_no_fry_to_be_eaten(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section = made.section()
    batch = made.batch(section=section, number=4)
    made.dam(section=section, born_on=keeper.today - timedelta(days=300))
    sort_sexes(session, keeper, batch.id, on=keeper.today, females=4, males=0)
    assert set(grown(session, keeper).values()) == {()}


def test_the_last_test_counts_and_a_worse_one_of_the_same_day_is_new(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    tank = made.tank()
    made.dam(made.line("guppy"), made.section(tank))

    def seen(nitrite: float, hours_ago: int) -> list[tuple[str, str]]:
        at = keeper.now - timedelta(hours=hours_ago)
        log_test(session, keeper, tank.id, {Quantity.NITRITE: nitrite}, at=at)
        return [(one.shown, one.mark) for one in morning(session, keeper).facts.strays]

    assert seen(0.0, 3) == []
    [(high, first)] = seen(0.35, 2)
    assert "0.35" in high
    [(higher, then)] = seen(0.6, 1)
    assert ("0.6" in higher, then != first) == (True, True)
    assert seen(0.1, 0) == []

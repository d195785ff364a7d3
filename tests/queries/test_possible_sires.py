"""Who may have sired a brood."""

from datetime import date

from app.queries.possible_sires import PossibleSire, possible_sires
from app.services import broods
from app.services.stays import move
from app.store.actor import Actor
from app.store.fish import Fish, WithMales
from app.store.session import RoomSession
from tests.factories import Made


def sires_of(session: RoomSession, keeper: Actor, dam: Fish, on: date) -> dict[int | None, PossibleSire]:
    brood = broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=on, live=9)
    return {each.fish_id: each for each in possible_sires(session, keeper, dam, brood)}


def test_the_one_male_with_her_all_along_is_almost_certain(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    found = sires_of(session, keeper, dam, keeper.today)
    assert set(found) == {sire.id}
    assert found[sire.id].words == "almost certain"


def test_two_males_share_alike(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, section = made.line(), made.section()
    dam, one, other = made.dam(line, section), made.sire(line, section), made.sire(line, section)
    found = sires_of(session, keeper, dam, keeper.today)
    assert abs(found[one.id].chance - found[other.id].chance) < 1e-9
    assert abs(found[one.id].chance - 0.5) < 1e-9


def test_a_male_gone_before_conception_keeps_a_share_by_stored_sperm(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section, away = made.line(), made.section(), made.section()
    dam, gone, later = made.dam(line, section), made.sire(line, section), made.sire(line, away)
    move(session, keeper, section_id=made.section().id, on=made.days_ago(50), fish_ids=[gone.id])
    move(session, keeper, section_id=section.id, on=made.days_ago(45), fish_ids=[later.id])
    found = sires_of(session, keeper, dam, keeper.today)
    assert found[later.id].chance > 0.85
    assert 0.02 < found[gone.id].chance < 0.15


def test_the_males_of_a_batch_are_named_as_such(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, section = made.line(), made.section()
    dam, batch = made.dam(line, section), made.batch(line, section, age_days=90)
    (one,) = sires_of(session, keeper, dam, keeper.today).values()
    assert one.label == f"a male of batch {batch.code}"


def test_a_bought_dam_may_bring_an_unknown_sire(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam(with_males=WithMales.YES, arrived_on=made.days_ago(20))
    (one,) = sires_of(session, keeper, dam, keeper.today).values()
    assert (one.fish_id, one.label) == (None, "a male not on record")

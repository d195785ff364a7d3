"""The pairing pages: what a drop comes from, and what the pages cost."""

from typing import Self

from sqlalchemy import event
from sqlalchemy.engine import Engine

from app.queries.pairing_choices import choices
from app.queries.pairing_look import look
from app.queries.pairings import pairing_page, pairings_page
from app.services import broods, pairings
from app.store.actor import Actor
from app.store.fish import Fish
from app.store.lines import Line
from app.store.pairings import Pairing
from app.store.session import RoomSession
from tests.factories import Made


def paired(
    session: RoomSession, keeper: Actor, made: Made, line: Line, days_ago: int
) -> tuple[Pairing, Fish]:
    dam, sire = made.dam(line), made.sire(line)
    pairing = pairings.make_pairing(
        session,
        keeper,
        section_id=made.section().id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(days_ago),
    )
    return pairing, dam


class Statements:
    """Counts the statements sent while it is open."""

    def __enter__(self) -> Self:
        self.count = 0
        event.listen(Engine, "before_cursor_execute", self._note)
        return self

    def __exit__(self, *_: object) -> None:
        event.remove(Engine, "before_cursor_execute", self._note)

    def _note(self, *_: object) -> None:
        self.count += 1


def test_the_list_costs_the_same_for_many_pairings(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    paired(session, keeper, made, line, 50)
    with Statements() as few:
        pairings_page(session, keeper)
    for _ in range(4):
        paired(session, keeper, made, line, 40)
    with Statements() as many:
        page = pairings_page(session, keeper)
    assert len(page.running) == 5
    assert many.count == few.count


def test_a_look_costs_the_same_for_many_dams(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, section = made.line(), made.section()
    sire = made.sire(line, section)
    dams = [made.dam(line, section) for _ in range(5)]
    for dam in dams:
        broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(9), live=9)
    with Statements() as few:
        look(session, keeper, section.id, [dams[0].id], [sire.id], keeper.today)
    with Statements() as many:
        shown = look(session, keeper, section.id, [dam.id for dam in dams], [sire.id], keeper.today)
    assert shown is not None
    assert len(shown.dams) == 5
    assert many.count == few.count


def test_the_page_tells_the_drops_of_its_pairing_newest_first(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    pairing, dam = paired(session, keeper, made, made.line(), 59)
    for days in (25, 0):
        broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(days), live=9)
    page = pairing_page(session, keeper, pairing.id)
    assert [each.day for each in page.history] == [keeper.today, made.days_ago(25), made.days_ago(59)]
    assert page.dams[0].broods == 2
    assert page.dams[0].ribbon is not None


def test_a_drop_too_soon_after_a_pairing_is_not_its_own(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    first, dam = paired(session, keeper, made, line, 50)
    broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(27), live=9)
    pairings.end_pairing(session, keeper, first.id, on=made.days_ago(20))
    pairings.make_pairing(
        session,
        keeper,
        section_id=made.section().id,
        dam_ids=[dam.id],
        sire_ids=[made.sire(line).id],
        started_on=made.days_ago(5),
    )
    brood = broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=keeper.today, live=9)
    assert brood.pairing_id == first.id


def test_a_fish_in_a_running_pairing_is_not_offered(session: RoomSession, keeper: Actor, made: Made) -> None:
    pairing, dam = paired(session, keeper, made, made.line(), 5)
    assert dam.id not in [each.id for each in choices(session, keeper).dams]
    pairings.end_pairing(session, keeper, pairing.id, on=keeper.today)
    assert dam.id in [each.id for each in choices(session, keeper).dams]

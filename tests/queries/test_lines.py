"""What a line's page reads: who stands here, and the intervals its dams have shown."""

from app.queries.lines import line_page, lines_page
from app.services import broods, fish
from app.store.actor import Actor
from app.store.fish import Departure, Sex
from app.store.session import RoomSession
from tests.factories import Made


def test_lines_with_nobody_here_come_last(session: RoomSession, keeper: Actor, made: Made) -> None:
    made.line(name="A gone")
    made.dam(made.line(name="B here"))
    page = lines_page(session, keeper)
    assert [(row.name, row.words) for row in page.lines] == [
        ("B here", "1 dam"),
        ("A gone", "nobody here now"),
    ]


def test_fish_that_left_are_counted_apart(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    sire = made.sire(line)
    made.fish(Sex.UNKNOWN, line)
    fish.leave(session, keeper, sire.id, on=keeper.today, departure=Departure.DIED)
    page = line_page(session, keeper, line.id)
    assert (page.now, page.gone, page.sires) == ("1 not sexed", 1, ())


def test_an_interval_over_a_missed_drop_is_shown_but_not_in_the_mean(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    dam = made.dam(line, code="D1", born_on=made.days_ago(500), arrived_on=made.days_ago(400))
    for days in (200, 172, 114, 84):
        broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(days), live=9)
    page = line_page(session, keeper, line.id)
    [hers] = page.intervals
    assert (hers.dam, hers.drops, hers.days, hers.mean) == ("D1", 4, "28, 58, 30", "29.0")
    assert page.learned.startswith("29.0 days on average over 2 intervals")


def test_the_keepers_own_number_stands_beside_the_usual_one(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    line.sale_length_mm = 25.0
    interval, _, length = line_page(session, keeper, line.id).numbers
    assert (length.value, length.own, length.usual) == ("25 mm", True, "20 mm")
    assert (interval.value, interval.own) == ("26 days", False)
    assert "grade" in interval.source

"""Lines and the keeper's own numbers."""

import pytest

from app.core.problems import Problem
from app.services import lines
from app.services.lines import NewLine
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.journal import Act
from app.store.lines import Line
from app.store.session import RoomSession, enter, rows
from tests.conftest import People
from tests.factories import Made


def test_a_line_keeps_the_keepers_own_numbers(session: RoomSession, keeper: Actor) -> None:
    line = lines.add_line(session, keeper, NewLine(" Blue Grass ", "guppy", interval_days=29))
    assert (line.name, line.species, line.interval_days, line.sale_length_mm) == (
        "Blue Grass",
        "guppy",
        29,
        None,
    )


def test_two_lines_of_one_name_are_refused(session: RoomSession, keeper: Actor) -> None:
    lines.add_line(session, keeper, NewLine("Blue", "guppy"))
    with pytest.raises(Refused, match="Choose it") as refusal:
        lines.add_line(session, keeper, NewLine("blue ", "endler"))
    assert refusal.value.field == "name"


@pytest.mark.parametrize(
    ("told", "field"),
    [
        (NewLine(" ", "guppy"), "name"),
        (NewLine("x" * 61, "guppy"), "name"),
        (NewLine("Blue", "dragon"), "species"),
        (NewLine("Blue", "guppy", interval_days=200), "interval_days"),
        (NewLine("Blue", "guppy", sale_length_mm=400), "sale_length_mm"),
        (NewLine("Blue", "guppy", sexable_age_days=1), "sexable_age_days"),
    ],
)
def test_a_line_that_cannot_be_is_refused_on_its_field(
    session: RoomSession, keeper: Actor, told: NewLine, field: str
) -> None:
    with pytest.raises(Problem) as refusal:
        lines.add_line(session, keeper, told)
    assert refusal.value.field == field


def test_a_line_is_changed_and_the_change_taken_back(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line(name="Blue")
    lines.edit_line(session, keeper, line.id, NewLine("Blue Grass", "endler", note="from A and B"))
    assert (line.name, line.species) == ("Blue Grass", "endler")
    undo(session, keeper, rows(session, Act)[-1].id)
    back = rows(session, Line, Line.id == line.id)[0]
    assert (back.name, back.species, back.note) == ("Blue", "guppy", "")


def test_a_line_with_fish_keeps_its_species(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    made.dam(line)
    with pytest.raises(Refused, match="another line") as refusal:
        lines.edit_line(session, keeper, line.id, NewLine(line.name, "swordtail"))
    assert refusal.value.field == "species"


def test_a_helper_cannot_begin_or_change_a_line(session: RoomSession, made: Made, people: People) -> None:
    line = made.line()
    with pytest.raises(Forbidden):
        lines.add_line(session, people.helper, NewLine("Blue", "guppy"))
    with pytest.raises(Forbidden):
        lines.edit_line(session, people.helper, line.id, NewLine("Blue", "guppy"))


def test_a_line_of_another_fishroom_is_not_found(session: RoomSession, made: Made, people: People) -> None:
    line = made.line()
    enter(session, people.stranger.fishroom_id)
    with pytest.raises(NotFound):
        lines.edit_line(session, people.stranger, line.id, NewLine("Mine", "guppy"))

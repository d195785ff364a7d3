"""The pages of fry care and water targets, and what they do to the rounds."""

import pytest

from app.core.fry_care import Care
from app.services import tanks
from app.services.fry_care import choose_care
from app.services.water_tests import log_test
from app.store.readings import Quantity
from app.store.session import rows
from app.store.tanks import SectionKind
from app.store.waters import FryCare, WaterTarget
from tests.factories import Made
from tests.support.client import Visitor


def test_a_stage_of_ones_own_is_set_and_taken_back(visit: Visitor, made: Made) -> None:
    line = made.line(name="Amber")
    made.session.commit()
    page = visit.open("/fry-care")
    assert "common practice" in page.words
    stage = {
        "line_id": str(line.id), "from_age_days": "0", "feeds_a_day": "6", "change_every_days": "1",
        "fraction": "15",
    }  # fmt: skip
    page = visit.send("/fry-care", **stage)
    assert "this line’s own" in page.words
    assert "15 % changed every day" in page.words
    (kept,) = rows(made.session, FryCare)
    page = visit.post(f"/fry-care/{kept.id}/remove", "/fry-care")
    assert "this line’s own" not in page.words


def test_an_impossible_stage_is_refused_by_its_field(visit: Visitor, made: Made) -> None:
    made.line()
    made.session.commit()
    page = visit.open("/fry-care")
    told = {"from_age_days": "3 weeks", "feeds_a_day": "99", "change_every_days": "2", "fraction": "10 %"}
    page = visit.send("/fry-care", **told)
    assert "99 feeds a day; give 1 to 12." in page.words
    assert "not a number of days" not in page.words


def test_lines_raised_alike_stand_together(visit: Visitor, made: Made) -> None:
    for name in ("Amber", "Slate"):
        made.line("guppy", name)
    own = made.line("southern_platy", "Rust")
    choose_care(made.session, made.actor, Care(0, 4, 7, 0.3), own.id)
    made.session.commit()
    titles = [" ".join("".join(h.itertext()).split()) for h in visit.open("/fry-care").all("h2")]
    assert titles[:2] == ["Amber and Slate guppy", "Rust southern platy"]


def test_days_in_a_box_and_room_for_each_fish_are_the_keepers_to_set(visit: Visitor, made: Made) -> None:
    tank, line = made.tank("A9", litres=20), made.line("guppy")
    box = tanks.add_section(made.session, made.actor, tank.id, name="box", kind=SectionKind.FRY_BOX)
    made.batch(line, box, number=20, age_days=10)
    made.batch(line, made.section(tank), number=20, age_days=60)
    made.session.commit()
    before = visit.open("/").words
    assert "A9 is getting tight" in before
    assert "has been in a fry box since" not in before
    page = visit.post("/fry-care/box-and-room", "/fry-care", box_days="7", room="50 %")
    assert "in a fry box for 7 days is pointed out" in page.words
    assert "0.25 L for one up to 12 mm" in page.words
    after = visit.open("/").words
    assert "A9 is getting tight" not in after
    assert "has been in a fry box since" in after


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"box_days": "0", "room": "100 %"}, "0 days in a fry box; give 1 to 120."),
        ({"box_days": "14", "room": "5 %"}, "5 % of the usual room; give 25 to 400 %."),
        ({"box_days": "14", "room": "2 L"}, "'2 L' is no share"),
        ({"box_days": "", "room": "100 %"}, "After how many days?"),
    ],
)
def test_a_box_or_room_that_cannot_be_is_refused_by_its_field(
    visit: Visitor, made: Made, told: dict[str, str], words: str
) -> None:
    made.line()
    made.session.commit()
    page = visit.post("/fry-care/box-and-room", "/fry-care", **told)
    assert page.status == 422
    assert words in page.words
    assert page.value("room") == told["room"]


def test_a_range_of_ones_own_goes_before_the_usual_one(visit: Visitor, made: Made) -> None:
    tank = made.tank("A9")
    line = made.line("guppy", "Amber")
    made.dam(line, made.section(tank))
    log_test(made.session, made.actor, tank.id, {Quantity.PH: 6.6})
    made.session.commit()
    assert "pH in A9 was 6.6 today; wanted: 7 to 8." in visit.open("/").words
    page = visit.open(f"/waters/targets?for=tank:{tank.id}")
    page = visit.send("/waters/targets", whom=f"tank:{tank.id}", quantity="pH", low="6.4", high="")
    assert "at least 6.4" in page.words
    assert "pH in A9 was" not in visit.open("/").words
    (own,) = rows(made.session, WaterTarget)
    visit.post(f"/waters/targets/{own.id}/remove", "/waters/targets")
    assert "pH in A9 was 6.6 today" in visit.open("/").words


def test_a_range_turned_round_is_refused(visit: Visitor, made: Made) -> None:
    line = made.line()
    made.session.commit()
    page = visit.open("/waters/targets")
    told = {"whom": f"line:{line.id}", "quantity": "GH", "low": "20", "high": "10"}
    page = visit.send("/waters/targets", **told)
    assert "20 is above 10" in page.words


def test_a_change_logged_answers_the_change_that_is_due(visit: Visitor, made: Made) -> None:
    tank = made.tank("A8")
    made.batch(section=made.section(tank), age_days=3)
    made.session.commit()
    page = visit.open("/")
    assert "Change 10 % of A8 for its fry: every 2 days at their age" in page.words
    visit.send(f"/tanks/{tank.id}/water/change", volume="10 %", source_id="0")
    assert "of A8 for its fry" not in visit.open("/").words

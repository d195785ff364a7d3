"""The demo holds what it promises, on the day it is loaded."""

import re
from collections import Counter
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.reminders import due
from app.core.water.ledger import Held
from app.queries.books import books
from app.queries.case_page import case_page
from app.queries.cases import Sought, cases_page
from app.queries.facts import Morning, morning
from app.queries.hindcast import hindcast_page
from app.queries.ledger import tank_ledgers
from app.queries.rounds import rounds_page
from app.queries.water_page import water_page
from app.services import accounts
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex, LengthCheck, Loss, LossCause
from app.store.broods import Brood
from app.store.carryings import Carrying, Outcome
from app.store.fish import Fish, Sex
from app.store.forecasts import Forecast, ForecastKind
from app.store.lines import Line
from app.store.projects import Project, ProjectState
from app.store.readings import Reading
from app.store.rehomings import Rehoming
from app.store.session import RoomSession, make_sessions, rows, sqlite_url
from app.store.tanks import Tank
from app.store.users import Membership, User
from app.store.waters import WaterChange
from seed_demo import story
from seed_demo.script import DATA
from seed_demo.story import ACTS, KEEPER, load, version
from tests.conftest import NOON
from tests.support.database import migrated

INVENTED = "demo.example"


@pytest.fixture
def today(demo: RoomSession, owner: Actor) -> Morning:
    return morning(demo, owner)


def test_it_tells_how_far_it_is(told: tuple[RoomSession, list[str]]) -> None:
    assert 1 <= len(told[1]) <= 10


def test_three_people_may_sign_in_with_addresses_nobody_has(demo: RoomSession, owner: Actor) -> None:
    statement = select(User.email, Membership.role).join(Membership, Membership.user_id == User.id)
    found = demo.execute(statement.where(Membership.fishroom_id == owner.fishroom_id)).all()
    assert sorted(role.value for _, role in found) == ["helper", "keeper", "reader"]
    assert all(address.endswith(f"@{INVENTED}") for address, _ in found)
    assert accounts.sign_in(demo, KEEPER, "keeper") is None


def test_every_book_balances_and_a_batch_is_open_exactly_while_it_has_fish(
    demo: RoomSession, owner: Actor
) -> None:
    batches = rows(demo, Batch)
    ledgers = books(demo, owner.fishroom_id, [batch.id for batch in batches])
    for batch in batches:
        book = ledgers[batch.id]
        assert book.started + book.found == (
            book.alive + book.lost + book.rehomed + book.kept + book.split_out
        ), batch.code
        assert (batch.closed_on is None) == (book.alive > 0), batch.code


def test_it_looks_lived_in(demo: RoomSession, owner: Actor) -> None:
    assert len(rows(demo, Tank)) == 12
    species = Counter(line.species for line in rows(demo, Line))
    assert species == {
        "guppy": 2,
        "southern_platy": 1,
        "swordtail": 1,
        "redtail_goodeid": 1,
        "least_killifish": 1,
    }
    broods = rows(demo, Brood, order=Brood.dropped_from)
    assert len(broods) > 100
    assert (owner.today - broods[0].dropped_from).days > 500
    assert (owner.today - broods[-1].dropped_to).days < 7


def test_one_birth_window_is_open_and_one_dam_is_probably_not_carrying(today: Morning, owner: Actor) -> None:
    windows = {
        outlook.case.dam.code: outlook.forecast.window_80
        for outlook in today.births.values()
        if outlook.forecast.window_80 is not None and not outlook.forecast.overdue
    }
    assert [code for code, window in windows.items() if window.holds(owner.today)] == ["AM10"]
    late = [outlook for outlook in today.births.values() if outlook.forecast.overdue]
    assert [outlook.case.dam.code for outlook in late] == ["RU9"]
    assert late[0].forecast.p_carrying < 0.1


def test_one_batch_is_to_be_sexed_and_split_about_now(today: Morning, owner: Actor) -> None:
    near = [
        batch.code
        for batch in today.facts.batches
        if not batch.sexed and abs((batch.split_by - owner.today).days) <= 6
    ]
    assert near == ["SL8-4"]


def test_a_quarantine_ends_in_a_few_days(today: Morning, owner: Actor) -> None:
    ends = {fish.code: (fish.quarantine_until - owner.today).days for fish in today.facts.quarantined}
    assert {code: days for code, days in ends.items() if days >= 0} == {"MO8": 3}


def test_one_brood_is_a_few_days_old(demo: RoomSession, owner: Actor) -> None:
    young = [b.code for b in rows(demo, Brood, Brood.dropped_from >= owner.today - timedelta(days=4))]
    assert "AM7-8" in young


def test_a_batch_is_ready_to_rehome(today: Morning) -> None:
    ready = {r.subject.label for r in due(today.facts, today.answers) if r.rule == "ready_to_rehome"}
    assert "MO4-1F" in ready


def test_the_rounds_hold_something_but_not_everything(demo: RoomSession, owner: Actor) -> None:
    page = rounds_page(demo, owner)
    assert 6 <= page.count <= 22
    assert page.busy
    assert page.quiet


def test_an_answer_silences_its_reminder(today: Morning) -> None:
    asked = {(r.rule, r.subject.label) for r in due(today.facts, {})}
    still = {(r.rule, r.subject.label) for r in due(today.facts, today.answers)}
    assert asked - still >= {("fry_place", "SL7")}


def test_projects_stand_in_every_state(demo: RoomSession) -> None:
    states = Counter(project.state for project in rows(demo, Project))
    assert set(states) == set(ProjectState)
    assert all(p.closing_note for p in rows(demo, Project, Project.state == ProjectState.CLOSED))


def test_failures_are_told_too(demo: RoomSession) -> None:
    causes = Counter[LossCause]()
    for loss in rows(demo, Loss):
        causes[loss.cause] += loss.number
    assert causes[LossCause.EATEN] > 20
    assert causes[LossCause.WATER] > 10
    assert rows(demo, Carrying, Carrying.outcome == Outcome.MISSED)


def test_the_pedigree_goes_back_three_generations_of_keepers(demo: RoomSession) -> None:
    fish = {one.id: one for one in rows(demo, Fish)}

    def depth(fish_id: int | None) -> int:
        if fish_id is None:
            return -1
        return 1 + max(depth(fish[fish_id].dam_id), depth(fish[fish_id].sire_id))

    dams = {brood.dam_id for brood in rows(demo, Brood)}
    assert max(depth(dam) for dam in dams) >= 3


def test_most_batches_were_measured_by_typed_lengths(demo: RoomSession) -> None:
    checks = rows(demo, LengthCheck)
    assert all(check.lengths_mm for check in checks)
    assert len({check.batch_id for check in checks}) > len(rows(demo, Batch)) / 2


def test_some_were_rehomed_for_money_and_some_were_given(demo: RoomSession) -> None:
    prices = [one.price for one in rows(demo, Rehoming)]
    assert any(prices)
    assert None in prices


def test_the_thermometers_show_a_season_a_gap_and_a_failed_heater(demo: RoomSession, owner: Actor) -> None:
    tank = rows(demo, Tank, Tank.name == "B2")[0]
    assert min(r.value for r in rows(demo, Reading, Reading.tank_id == tank.id)) < 18
    home = rows(demo, Tank, Tank.name == "B3")[0]
    taken = [r.taken_at for r in rows(demo, Reading, Reading.tank_id == home.id, order=Reading.taken_at)]
    recent = [moment for moment in taken if (NOON - moment).days < 118]
    assert max((later - earlier).days for earlier, later in pairwise(recent)) >= 12
    assert max(taken) <= owner.now


def test_the_hindcast_has_much_to_score_and_its_windows_held_about_as_often_as_they_said(
    demo: RoomSession, owner: Actor
) -> None:
    page = hindcast_page(demo, owner)
    assert page.score is not None
    assert page.score.n >= 100
    assert page.score.coverage_80.rate == pytest.approx(0.8, abs=0.1)
    assert page.score.mean_error < page.score.naive_error


def test_forecasts_were_stored_before_the_truth_was_known(demo: RoomSession) -> None:
    statement = (
        select(Forecast.issued_on, Brood.dropped_to)
        .join(Carrying, Carrying.id == Forecast.carrying_id)
        .join(Brood, Brood.id == Carrying.brood_id)
        .where(Forecast.kind == ForecastKind.BIRTH)
    )
    found = demo.execute(statement).all()
    assert len(found) > 100
    assert all(issued < dropped for issued, dropped in found)


def test_nobody_real_and_no_address_is_in_it() -> None:
    texts = {path.name: path.read_text(encoding="utf-8") for path in DATA.glob("*.csv")}
    assert len(texts) > 15
    for name, text in texts.items():
        addresses = re.findall(r"[^\s,\"]*@[^\s,\"]*", text)
        assert all(each.endswith(f"@{INVENTED}") for each in addresses), name
        assert not re.search(r"https?:|www\.|\w\.(com|org|net|de|eu|io|co)\b", text), name


def test_every_file_is_played() -> None:
    own = {"away", "troubles"}
    assert {path.stem for path in DATA.glob("*.csv")} == {n for n in ACTS if n != "pairings ended"} | own


def test_females_and_males_were_parted(demo: RoomSession) -> None:
    sexes = Counter(batch.sex for batch in rows(demo, Batch))
    assert sexes[BatchSex.FEMALES] > 20
    assert sexes[BatchSex.MALES] > 20
    assert {fish.sex for fish in rows(demo, Fish)} == {Sex.FEMALE, Sex.MALE}


def test_the_version_is_the_same_until_the_story_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    before = version()
    assert version() == before
    monkeypatch.setattr(story, "PLAYED", (*story.PLAYED, (DATA.parent.parent, "LICENSE")))
    assert version() != before


@pytest.mark.slow
def test_the_same_day_gives_the_same_fishroom(demo: RoomSession, owner: Actor, tmp_path: Path) -> None:
    again = migrated(sqlite_url(tmp_path / "again.sqlite3"))
    with make_sessions(again)() as session:
        load(session, NOON, lambda _: None)
        assert _numbers(session, session.info["fishroom_id"]) == _numbers(demo, owner.fishroom_id)
    again.dispose()


def _numbers(session: Session, room: int) -> dict[str, object]:
    """Return what the dice could have changed: rows a table, temperatures, and forecasts."""
    count = {
        model.__name__: session.scalar(select(func.count()).where(model.fishroom_id == room))
        for model in (Fish, Batch, Brood, Carrying, Forecast, Reading, Rehoming, Project)
    }
    warm = [r.value for r in rows(session, Reading, order=(Reading.taken_at, Reading.tank_id))]
    said = [
        (f.issued_on, f.kind, f.median, f.from_80, f.to_80, f.probability) for f in rows(session, Forecast)
    ]
    return {**count, "warm": warm, "said": said}


def test_one_case_is_open_with_a_course_that_asks_for_a_step_today(demo: RoomSession, owner: Actor) -> None:
    page = cases_page(demo, owner, Sought())
    (open_case,) = page.open
    shown = case_page(demo, owner, open_case.id)
    assert [plan.kind for plan in shown.running] == ["course"]
    assert shown.running[0].next is not None
    assert shown.running[0].next.state == "due"
    assert shown.asked[shown.running[0].id].endswith(" g")


def test_what_became_of_earlier_cases_can_be_searched(demo: RoomSession, owner: Actor) -> None:
    page = cases_page(demo, owner, Sought())
    assert {case.outcome for case in page.closed} == {"recovered", "died", "killed humanely"}
    (found,) = cases_page(demo, owner, Sought(words="warm", substance="table salt")).closed
    assert found.outcome == "recovered"


def test_the_ledgers_look_alive(demo: RoomSession, owner: Actor) -> None:
    ledgers = {ledger.name: ledger for ledger in tank_ledgers(demo, owner).values()}
    assert len(rows(demo, WaterChange)) > 150
    assert all(ledger.level(Held.GH, owner.now) is not None for ledger in ledgers.values())
    assert ledgers["C2"].level(Held.SALT, owner.now) == pytest.approx(1.4)
    page = water_page(demo, owner, ledgers["C2"].tank_id)
    assert any("was a change not logged?" in one.words for one in page.todo)
    assert page.charts

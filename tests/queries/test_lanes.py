"""The almanac by tank, from rows to lanes."""

from app.queries.lanes import lanes_page
from app.services import pairings, projects
from app.services.broods import log_drop
from app.services.journal import Entry
from app.services.plans import Step, lay_out
from app.store.actor import Actor
from app.store.plans import Plan, PlanKind, StepKind
from app.store.projects import ProjectState
from app.store.session import RoomSession
from tests.factories import Made
from tests.queries.test_planning import wanting


def address(kind: str, number: int) -> str:
    return f"/{kind}/{number}"


def course(made: Made, tank_id: int, days: tuple[int, ...]) -> Plan:
    """Lay out changes with a step on each of the days ahead."""
    entry = Entry(made.session, made.actor, "made for a test")
    plan = Plan(kind=PlanKind.DESALTING, title="Salt", tank_id=tank_id, started_on=made.actor.today)
    return lay_out(entry, plan, [Step(made.days_ago(-day), StepKind.CHANGE, fraction=0.4) for day in days])


def test_a_tank_is_free_stands_full_with_nothing_ahead_or_has_rows(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    made.tank("Bare")
    made.sire(line, made.section(made.tank("Males")))
    batch = made.batch(line, age_days=8)
    said = {lane.name: (lane.sub, [row.label for row in lane.rows]) for lane in
            lanes_page(session, keeper, 12, address).lanes}  # fmt: skip
    assert said["Bare"] == ("free", [])
    assert said["Males"] == ("nothing ahead", [])
    assert [batch.code] in [labels for _, labels in said.values()]


def test_a_running_project_names_its_tank_and_its_young_and_says_when_it_is_through(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section, line = made.section(), made.line("guppy")
    project = wanting(made, line, "More blue", section.tank_id)
    projects.take_step(session, keeper, project.id, ProjectState.RUNNING)
    (lane,) = lanes_page(session, keeper, 12, address).lanes
    (row,) = lane.rows
    assert (row.url, row.windows) == (f"/project/{project.id}", ())
    assert row.stays[0].word == "More blue"
    assert row.stays[0].words.startswith("“More blue” runs here since ")

    dam, sire = made.dam(line, section), made.sire(line, section)
    pairing = pairings.make_pairing(
        session, keeper, section_id=section.id, dam_ids=[dam.id], sire_ids=[sire.id],
        started_on=made.days_ago(60), project_id=project.id,
    )  # fmt: skip
    brood = log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(20), live=12)
    assert brood.pairing_id == pairing.id
    (lane,) = lanes_page(session, keeper, 52, address).lanes
    rows = {row.url: row for row in lane.rows}
    (through,) = rows[f"/project/{project.id}"].windows
    assert (through.word, through.words) == ("More blue", "“More blue” is through")
    assert any(
        stay.words.endswith(", for “More blue”")
        for row in lane.rows if row.url.startswith("/batch/") for stay in row.stays
    )  # fmt: skip


def test_plans_and_waiting_projects_have_rows_of_their_own(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section, line = made.section(), made.line("guppy")
    made.batch(line, section, age_days=30)
    project = wanting(made, line, "A longer name than the margin holds", section.tank_id)
    plan = course(made, section.tank_id, (0, 3))
    (lane,) = lanes_page(session, keeper, 52, address).lanes
    rows = {row.label: row for row in lane.rows}
    assert rows["plan"].url == f"/plan/{plan.id}"
    assert [window.word for window in rows["plan"].windows] == ["Salt"]
    assert rows["project"].url == f"/project/{project.id}"
    assert [window.word for window in rows["project"].windows] == [project.aim]
    (would,) = rows["project"].stays
    assert would.words.startswith("would take it ")
    assert would.x > 0

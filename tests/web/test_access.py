"""Who may go where, by enumeration of the routes: outsiders, readers, and whoever is signed out."""

from datetime import time
from pathlib import Path

import pytest
from flask import Flask
from werkzeug.routing import Rule

from app.core.fry_care import Care
from app.notify.outbox import Outbox
from app.services import (
    cases,
    channels,
    courses,
    feeds,
    fry_care,
    loggers,
    pairings,
    pictures,
    project_money,
    projects,
    rehomings,
    reminders,
    signs,
    targets,
    wants,
)
from app.services.broods import log_drop
from app.store.base import Owned
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.cases import Ailing, Case, CasePhoto, CaseSign
from app.store.channels import Channel
from app.store.fish import Fish
from app.store.journal import Act
from app.store.lines import Line
from app.store.pairings import Pairing
from app.store.plans import Plan, PlanStep
from app.store.projects import MoneyKind, Project, ProjectCheck, ProjectMoney
from app.store.readings import Logger, Quantity, Reading
from app.store.rehomings import Rehoming
from app.store.reminders import CalendarFeed, LeadTime, Muted
from app.store.session import rows
from app.store.signs import Sign, SignKind
from app.store.tanks import Section, Tank
from app.store.wants import Want
from app.store.waters import FryCare, SourceWater, Substance, WaterTarget
from app.web.signin import OPEN, OWN_AFFAIRS
from tests.conftest import NOON
from tests.factories import Made
from tests.services.test_pictures import picture
from tests.support.client import Page, Visitor

KINDS: dict[str, type[Owned]] = {
    "tank_id": Tank, "section_id": Section, "line_id": Line, "fish_id": Fish, "dam_id": Fish,
    "pairing_id": Pairing, "sign_id": Sign, "brood_id": Brood, "batch_id": Batch, "rehoming_id": Rehoming,
    "reading_id": Reading, "project_id": Project, "act_id": Act, "feed_id": CalendarFeed,
    "logger_id": Logger,
    "lead_id": LeadTime, "muted_id": Muted, "channel_id": Channel,
    "case_id": Case, "case_sign_id": CaseSign, "photo_id": CasePhoto, "plan_id": Plan, "step_id": PlanStep,
    "water_id": SourceWater, "substance_id": Substance, "check_id": ProjectCheck, "money_id": ProjectMoney,
    "care_id": FryCare, "target_id": WaterTarget, "want_id": Want,
}  # fmt: skip
"""What the numbers in addresses stand for. A new one is added here, and to the room below."""


@pytest.fixture
def ids(made: Made, app: Flask, tmp_path: Path) -> dict[str, int]:
    """One of everything in the keeper's fishroom, by the name that addresses give its number."""
    session, actor = made.session, made.actor
    line, section = made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    began = made.days_ago(40)
    pairings.make_pairing(
        session, actor, section_id=section.id, dam_ids=[dam.id], sire_ids=[sire.id], started_on=began
    )
    signs.log_sign(session, actor, dam.id, kind=SignKind.HIDING, seen_on=actor.today)
    log_drop(session, actor, dam_id=dam.id, dropped_from=made.days_ago(5), live=9)
    batch = rows(session, Batch)[0]
    rehomings.rehome(session, actor, batch.id, on=actor.today, number=1)
    loggers.add_logger(session, actor, name="Probe")
    feeds.make_feed(session, actor)
    channels.add_channel(
        session,
        actor,
        Outbox("only for tests", "mailto://fish.example"),
        address="k@fish.example",
        send_at=time(7),
    )
    reminders.choose_line_lead(session, actor, rule="fry_place", line_id=line.id, days=9)
    reminders.mute(session, actor, rule="fry_place", subject=f"fish:{dam.id}")
    session.add(Reading(fishroom_id=actor.fishroom_id, tank_id=section.tank_id, taken_at=NOON, value=25))
    fry_care.choose_care(session, actor, Care(0, 6, 1, 0.1))
    wanted = targets.For(line_id=line.id)
    targets.choose_target(session, actor, wanted, Quantity.PH, 7.0, 8.0)
    wants.add_want(session, actor, wants.Wanted("Ina", line.id, 2, actor.today))
    made.water("Tap")
    made.substance("salt")
    app.config["PICTURES"] = tmp_path
    ailing(made, dam, section.tank_id, tmp_path)
    project = projects.plan_project(session, actor, aim="More", line_id=line.id)
    project_money.log_money(
        session, actor, project.id, kind=MoneyKind.COST, amount=3, words="moss", on=actor.today
    )
    session.commit()
    found = {name: rows(session, kind)[-1].id for name, kind in KINDS.items()}
    return {**found, "fish_id": dam.id, "dam_id": dam.id, "fishroom_id": actor.fishroom_id}


def ailing(made: Made, dam: Fish, tank_id: int, folder: Path) -> None:
    """Open a case with a photo and a course of salt."""
    session, actor = made.session, made.actor
    told = cases.CaseTold(actor.today)
    case = cases.open_case(session, actor, cases.Subject(fish_id=dam.id), told, [Ailing.TUFTS])
    pictures.add_photo(session, actor, case.id, folder=folder, upload=picture((20, 20)), taken_on=actor.today)
    course = courses.CourseTold(tank_id, None, actor.today, levels=(1.5,))
    courses.plan_course(session, actor, case.id, course)


def routes(app: Flask) -> list[Rule]:
    return [rule for rule in app.url_map.iter_rules() if rule.endpoint not in OPEN]


def with_number(app: Flask) -> list[Rule]:
    return [rule for rule in routes(app) if any(name.endswith("_id") for name in rule.arguments)]


def address(app: Flask, rule: Rule, ids: dict[str, int]) -> str:
    """Fill the keeper's numbers into an address."""
    unknown = {name for name in rule.arguments if name.endswith("_id")} - ids.keys()
    assert not unknown, f"say in KINDS what {unknown} of {rule} stands for"
    words = {name: "guppy" for name in rule.arguments if not name.endswith("_id")}
    numbers = {name: ids[name] for name in rule.arguments if name in ids}
    return str(app.url_map.bind("localhost").build(rule.endpoint, {**numbers, **words}))


def send(visitor: Visitor, path: str) -> int:
    """Send an empty form with a good token; return the status of the page it leads to."""
    token = Page(visitor.app, visitor.client.get("/history")).token
    return visitor.client.post(path, data={"csrf_token": token}, follow_redirects=True).status_code


def methods(rule: Rule) -> set[str]:
    return (rule.methods or set()) & {"GET", "POST"}


def test_no_more_is_open_than_was_meant_to_be() -> None:
    way_in = {"signin.page", "signin.enter", "signin.link"}
    by_secret = {"calendar.feed", "api.store"}
    nobodys = {"static", "health.healthz", "api.openapi", "offline.worker", "offline.page"}
    assert way_in | by_secret | nobodys == OPEN


def test_a_reader_may_send_only_what_is_their_own() -> None:
    own = {"signin.out", "signin.change", "theme.choose", "rounds.shape", "settings.change_password"}
    messages = {f"messages.{act}" for act in ("add", "change", "pause", "resume", "remove", "test")}
    assert own | messages | {"calendar.make", "calendar.revoke"} == OWN_AFFAIRS


def test_an_outsider_finds_nothing_behind_any_number(
    app: Flask, outsider: Visitor, ids: dict[str, int]
) -> None:
    answers = {}
    for rule in with_number(app):
        path = address(app, rule, ids)
        if "GET" in methods(rule):
            answers[f"GET {path}"] = outsider.client.get(path).status_code
        if "POST" in methods(rule):
            answers[f"POST {path}"] = send(outsider, path)
    assert len(answers) > 30
    assert {what: status for what, status in answers.items() if status != 404} == {}


def test_the_keeper_finds_something_behind_every_number(
    app: Flask, visit: Visitor, ids: dict[str, int]
) -> None:
    looks = [address(app, rule, ids) for rule in with_number(app) if "GET" in methods(rule)]
    answers = {path: visit.client.get(path).status_code for path in looks}
    assert {path: status for path, status in answers.items() if status != 200} == {}


def test_a_reader_sees_every_page(app: Flask, reading: Visitor, ids: dict[str, int]) -> None:
    looks = [rule for rule in with_number(app) if "GET" in methods(rule)]
    seen = {path: reading.client.get(path).status_code for rule in looks if (path := address(app, rule, ids))}
    assert {path: status for path, status in seen.items() if status not in {200, 403}} == {}


def test_a_reader_is_refused_every_act(app: Flask, reading: Visitor, ids: dict[str, int]) -> None:
    acts = [r for r in routes(app) if "POST" in methods(r) and r.endpoint not in OWN_AFFAIRS]
    answers = {rule.endpoint: send(reading, address(app, rule, ids)) for rule in acts}
    assert len(answers) > 15
    assert {act: status for act, status in answers.items() if status != 403} == {}


def test_whoever_is_signed_out_is_asked_to_sign_in(app: Flask, ids: dict[str, int]) -> None:
    client = app.test_client()
    for rule in routes(app):
        path = address(app, rule, ids)
        if "GET" in methods(rule):
            answer = client.get(path)
            assert answer.status_code == 303, path
            assert answer.headers["Location"].startswith("/sign-in?next="), path
        if "POST" in methods(rule):
            assert client.post(path).status_code == 403, path


def test_an_act_without_its_token_changes_nothing(
    app: Flask, visit: Visitor, made: Made, ids: dict[str, int]
) -> None:
    before = _everything(made)
    for rule in routes(app):
        if "POST" in methods(rule):
            visit.client.post(address(app, rule, ids))
    assert _everything(made) == before


def _everything(made: Made) -> dict[str, int]:
    """Return how many rows each kind has, those taken back told apart."""
    made.session.expire_all()
    counts = {name: len(rows(made.session, kind)) for name, kind in KINDS.items()}
    undone = len(rows(made.session, Act, Act.undone_at.is_not(None)))
    revoked = len(rows(made.session, CalendarFeed, CalendarFeed.revoked_at.is_not(None)))
    revoked += len(rows(made.session, Logger, Logger.revoked_at.is_not(None)))
    return {**counts, "undone": undone, "revoked": revoked}

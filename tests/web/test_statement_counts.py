"""Pages stay as fast as on day one: their statements do not grow with the rows."""

from datetime import timedelta
from pathlib import Path

from flask import Flask
from werkzeug.routing import Rule

from app.services import batches, pairings, rehomings, signs
from app.services.broods import log_drop
from app.services.doses import log_dose
from app.services.water_changes import Pour, log_change, log_top_up
from app.services.water_tests import log_test
from app.store.batches import Batch
from app.store.readings import Quantity
from app.store.session import rows
from app.store.signs import SignKind
from app.store.tanks import Tank
from app.store.waters import SourceWater, SubstanceKind
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements
from tests.web.test_access import address, ailing, ids, routes

__all__ = ["ids"]
AGAIN = 6
NO_PAGES = {"cases.photo", "first_steps.begin"}
"""What answers with a picture, or leads on once a fishroom has begun."""
SLACK = 3  # a first brother, sire or reading can open a question that was not asked before; rows may not


def pages(app: Flask) -> list[Rule]:
    return [
        rule
        for rule in routes(app)
        if "GET" in (rule.methods or set())
        and all(name.endswith("_id") for name in rule.arguments)
        and rule.endpoint not in NO_PAGES
    ]


def one_more(made: Made, tmp_path: Path) -> None:
    """Add a tank with a pair, a drop, counts, lengths, a sign, a rehoming and a case with a course."""
    session, actor = made.session, made.actor
    line = rows(session, type(made.line()))[0]
    section = made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    pairings.make_pairing(
        session,
        actor,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(50),
    )
    signs.log_sign(session, actor, dam.id, kind=SignKind.HIDING, seen_on=made.days_ago(12))
    log_drop(session, actor, dam_id=dam.id, dropped_from=made.days_ago(10), live=12)
    batch = rows(session, Batch)[-1]
    batches.log_count(session, actor, batch.id, on=made.days_ago(3), alive=11)
    batches.log_lengths(session, actor, batch.id, on=made.days_ago(2), lengths_mm=(9.0, 10.0, 11.0))
    rehomings.rehome(session, actor, batch.id, on=actor.today, number=1)
    ailing(made, dam, section.tank_id, tmp_path)
    watered(made, rows(session, Tank)[0].id)
    watered(made, section.tank_id)


def watered(made: Made, tank_id: int) -> None:
    """Change, top up, dose and test a tank's water, with a water and a substance of its own."""
    session, actor = made.session, made.actor
    number = len(rows(session, SourceWater))
    water, salt = made.water(f"Water {number}", gh_dh=6.0), made.substance(f"Salt {number}")
    drops = made.substance(f"Drops {number}", kind=SubstanceKind.MEDICINE)
    at = actor.now - timedelta(minutes=number + 1)
    log_change(session, actor, tank_id, [Pour(water.id)], fraction=0.3, at=at)
    log_top_up(session, actor, tank_id, [Pour(water.id)], litres=1.0, at=at)
    for substance in (salt, drops):
        log_dose(session, actor, tank_id, substance.id, amount=1.0, at=at)
    log_test(session, actor, tank_id, {Quantity.NITRATE: 15.0, Quantity.GH: 6.0}, at=at)


def test_no_page_asks_more_of_the_database_as_the_rows_grow(
    visit: Visitor, made: Made, ids: dict[str, int], tmp_path: Path
) -> None:
    one_more(made, tmp_path)
    made.session.commit()
    paths = [address(visit.app, rule, ids) for rule in pages(visit.app)]
    before = {path: statements(visit, path) for path in paths}
    for _ in range(AGAIN):
        one_more(made, tmp_path)
    made.session.commit()
    grown = {
        path: (before[path], after)
        for path in paths
        if (after := statements(visit, path)) > before[path] + SLACK
    }
    assert not grown, f"statements before and after {AGAIN} times the rows: {grown}"
    assert max(before.values()) <= 60, f"too many statements: {max(before, key=lambda path: before[path])}"

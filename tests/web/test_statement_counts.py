"""Pages stay as fast as on day one: their statements do not grow with the rows."""

from pathlib import Path

from flask import Flask
from werkzeug.routing import Rule

from app.services import batches, pairings, rehomings, signs
from app.services.broods import log_drop
from app.store.batches import Batch
from app.store.session import rows
from app.store.signs import SignKind
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
    assert max(before.values()) <= 45, f"too many statements: {max(before, key=lambda path: before[path])}"

"""Every field of every form that names a row: another fishroom's row is refused, our own is taken."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from xml.etree.ElementTree import Element

import pytest
from sqlalchemy import Connection

from app.services import cases, projects
from app.store.actor import Actor
from app.store.cases import Ailing
from app.store.journal import Act
from app.store.session import RoomSession, enter, rows
from tests.conftest import NOON, People
from tests.factories import Made
from tests.support.client import NS, Page, Visitor
from tests.web.test_access import address, ids
from tests.web.test_statement_counts import pages

__all__ = ["ids"]
DONE, REFUSED = "done", "refused"
WORDS_ONLY = {"key", "subject"}
"""What a reminder is known by: kept as words in the own fishroom, and never read as a row of another."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A form as a page shows it: where it is found and sent, what it holds, and its fields that name rows."""

    page: str
    action: str
    given: Mapping[str, tuple[str, ...]]
    naming: Mapping[str, str]


@pytest.fixture
def theirs(session: RoomSession, people: People, ids: dict[str, int]) -> Iterator[dict[str, int]]:
    """One of everything that a field can name, in the stranger's fishroom."""
    enter(session, people.stranger.fishroom_id)
    found = _stocked(Made(session, people.stranger), people.stranger)
    session.commit()
    enter(session, people.keeper.fishroom_id)
    yield found
    enter(session, people.keeper.fishroom_id)


def _stocked(made: Made, actor: Actor) -> dict[str, int]:
    session = made.session
    for _ in range(40):  # so that no number of theirs is one of ours
        made.line()
    line = made.line()
    for _ in range(20):
        made.tank()
    section = made.section()
    for _ in range(20):
        made.sire(line, section)
        made.batch(line, section)
        made.water()
        made.substance(f"Salt {made.number}")
    dam, sire = made.dam(line, section), made.sire(line, section)
    case = cases.open_case(
        session, actor, cases.Subject(fish_id=dam.id), cases.CaseTold(actor.today), [Ailing.TUFTS]
    )
    project = projects.plan_project(session, actor, aim="Theirs", line_id=line.id)
    return {
        "line": line.id, "tank": section.tank_id, "section": section.id, "fish": sire.id, "dam": dam.id,
        "sire": sire.id, "batch": made.batch(line, section).id, "source": made.water().id,
        "second": made.water().id, "case": case.id, "project": project.id,
    }  # fmt: skip


def kind_of(name: str, value: str) -> str:
    """Say which kind of row a field's choice names; nothing where it names none."""
    kind, colon, number = value.partition(":")
    if colon and kind.isalpha() and number.isdigit():
        return kind
    stem = name.rsplit("-", 1)[-1].removesuffix("s").removesuffix("_id")
    named = name.endswith(("_id", "_ids")) and value.isdigit()
    return stem.rsplit("_", 1)[-1] if named else ""


def forms_of(page: Page, path: str) -> Iterator[Asked]:
    """Return the forms of a page that name rows, each filled with what stands in it and first choices."""
    for form in page.all("form"):
        if (form.get("method") or "get").lower() != "post":
            continue
        given = {name: tuple(values) for name, values in _filled(form).items()}
        naming = {name: kind for name, values in given.items() if (kind := _kind(name, values))}
        if naming:
            yield Asked(path, form.get("action") or path, given, naming)


def _kind(name: str, values: tuple[str, ...]) -> str:
    return kind_of(name, values[0]) if values and name not in WORDS_ONLY else ""


def _filled(form: Element) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for field in form.iter():
        name, kind = field.get("name"), field.get("type") or ""
        if name is None or field.tag == f"{NS}button":
            continue
        if field.tag == f"{NS}select":
            found[name] = [_chosen(field)]
        elif kind in {"radio", "checkbox"}:
            if field.get("checked") is not None or name not in found:
                found[name] = [field.get("value") or "y"]
        elif field.tag in {f"{NS}input", f"{NS}textarea"} and kind not in {"submit", "file"}:
            found[name] = [field.get("value") or (field.text or "").strip() or _usual(field)]
    return found


def _usual(field: Element) -> str:
    """Return what may stand in a field that is still empty: a date, or a number that does for a text too."""
    if field.get("type") in {"hidden", "time"}:
        return ""
    return f"{NOON:%Y-%m-%d}" if field.get("type") == "date" else "2"


def _chosen(field: Element) -> str:
    choices = [*field.iter(f"{NS}option")]
    marked = [one for one in choices if one.get("selected") is not None and one.get("value")]
    named = marked or [one for one in choices if one.get("value")]
    return (named[-1].get("value") or "") if named else ""


def test_no_field_takes_a_row_of_another_fishroom(
    visit: Visitor, made: Made, ids: dict[str, int], theirs: dict[str, int], connection: Connection
) -> None:
    tried, taken, broken = 0, set(), {}
    for asked in _all(visit, ids):
        if _acts(visit, made, connection, asked, {}) == DONE:
            taken.add(asked.action)
        for name, kind in asked.naming.items():
            assert kind in theirs, f"say in `theirs` what {name} of {asked.page} names ({kind})"
            prefix = f"{kind}:" if ":" in asked.given[name][0] else ""
            said = _acts(visit, made, connection, asked, {name: f"{prefix}{theirs[kind]}"})
            tried += 1
            if said != REFUSED:
                broken[f"{asked.action} {name}"] = said
    assert broken == {}
    assert tried > 20
    assert len(taken) >= 8, f"only {taken} do with our own rows what they refuse with others'"


def _acts(visit: Visitor, made: Made, connection: Connection, asked: Asked, other: Mapping[str, str]) -> str:
    """Send a form with some fields changed, say what came of it, and take it back."""
    fields = {name: list(values) for name, values in asked.given.items()}
    fields |= {name: [value] for name, value in other.items()}
    before = len(rows(made.session, Act))
    with connection.begin_nested() as tried:
        status = visit.client.post(asked.action, data={**fields, "csrf_token": _token(visit)}).status_code
        made.session.expire_all()
        more = len(rows(made.session, Act)) > before
        tried.rollback()
    made.session.expire_all()
    if status >= 500:
        return f"broke with {status}"
    return DONE if more else REFUSED


def _token(visit: Visitor) -> str:
    return Page(visit.app, visit.client.get("/history")).token


def _all(visit: Visitor, ids: dict[str, int]) -> list[Asked]:
    found: dict[tuple[str, tuple[str, ...]], Asked] = {}
    for rule in pages(visit.app):
        path = address(visit.app, rule, ids)
        for asked in forms_of(visit.open(path), path):
            found.setdefault((asked.action, tuple(asked.naming)), asked)
    return list(found.values())

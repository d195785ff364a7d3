"""The brood pages."""

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from freezegun import freeze_time

from app.services import broods
from app.services.forecasts import issue_missing
from app.store.batches import Batch
from app.store.broods import Brood
from app.store.carryings import Carrying
from app.store.fish import Fish
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor


def _bred(made: Made) -> tuple[Fish, Fish]:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line, section), made.sire(line, section)
    made.session.commit()
    return dam, sire


def _brood(made: Made, dam: Fish, days_ago: int = 0, **more: Any) -> Brood:  # noqa: ANN401
    brood = broods.log_drop(
        made.session,
        made.actor,
        dam_id=dam.id,
        dropped_from=made.days_ago(days_ago),
        **{"live": 20, **more},
    )
    made.session.commit()
    return brood


def test_a_drop_takes_the_count_alone(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    page = visit.send(f"/broodstock/{dam.id}/drop", live="23")
    assert f"Brood {dam.code}-1" in page.words
    assert "23 of 23 alive" in page.words
    brood = rows(made.session, Brood)[0]
    assert (brood.dropped_from, brood.dead, brood.early) == (made.actor.today, 0, 0)
    assert rows(made.session, Batch)[0].start_count == 23


def test_a_drop_from_the_rounds_goes_back_to_them(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    page = visit.send(f"/broodstock/{dam.id}/drop", live="5", next="/tanks")
    assert "Tanks" in page.words
    assert f"{dam.code} dropped on 15 June: 5 live" in page.words


def test_the_form_comes_filled_in(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    page = visit.open(f"/broodstock/{dam.id}/drop")
    assert page.value("dropped_from") == "2026-06-15"
    assert page.value("live") == ""
    chosen = [option for option in page.all("option") if option.get("selected") is not None]
    assert [option.text for option in chosen] == ["T2", "Nobody was moved"]


def test_nothing_typed_is_lost_on_a_refused_drop(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    page = visit.send(
        f"/broodstock/{dam.id}/drop", live="23", dead="2", dropped_from="2026-07-01", note="under the moss"
    )
    assert page.status == 422
    assert "still ahead" in page.words
    assert (page.value("live"), page.value("dead")) == ("23", "2")
    assert page.value("note") == "under the moss"


def test_words_for_a_count_are_answered_in_words(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    page = visit.send(f"/broodstock/{dam.id}/drop", live="lots")
    assert page.status == 422
    assert "“lots” is not a whole number" in page.words
    assert page.value("live") == "lots"
    assert "How many live fry?" in visit.send(f"/broodstock/{dam.id}/drop", live="").words


def test_a_drop_soon_after_the_last_is_asked_about_and_then_taken(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    _brood(made, dam, 6)
    page = visit.send(f"/broodstock/{dam.id}/drop", live="4")
    assert page.status == 422
    assert "Only 6 days" in page.words
    assert f"Brood {dam.code}-2" in visit.send(f"/broodstock/{dam.id}/drop", live="4", sooner="y").words


def test_the_page_says_what_is_true_and_what_comes_next(visit: Visitor, made: Made) -> None:
    dam, sire = _bred(made)
    brood = _brood(made, dam, 10, dead=2)
    page = visit.open(f"/broods/{brood.id}")
    assert "20 of 20 alive, 10 days old" in page.words
    assert "Split by" in page.words
    assert "half can be told" in page.words
    assert "Why these dates" in page.words
    assert f"{sire.code} : almost certain" in page.words
    assert f"{dam.code} dropped: 20 live and 2 dead" in page.words


def test_the_drop_is_held_against_what_was_first_shown(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    early = replace(made.actor, now=datetime(2026, 5, 20, 12, tzinfo=UTC))
    with freeze_time(early.now):
        broods.log_drop(made.session, early, dam_id=dam.id, dropped_from=early.today, live=9)
        issue_missing(made.session, early)
    brood = _brood(made, dam)
    page = visit.open(f"/broods/{brood.id}")
    assert "It came inside the window" in page.words
    assert "First shown on 20 May" in page.words
    other = made.dam()
    page = visit.open(f"/broods/{_brood(made, other).id}")
    assert "No dated forecast had been shown" in page.words


def test_a_brood_is_corrected_and_taken_back(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    brood = _brood(made, dam, 3)
    form = visit.open(f"/broods/{brood.id}/edit")
    assert form.value("live") == "20"
    page = visit.send(
        f"/broods/{brood.id}/edit", live="18", dropped_from="2026-06-12", dropped_to="2026-06-13"
    )
    assert "18 of 18 alive" in page.words
    assert "corrected: between 12 June and 13 June: 18 live" in page.words
    page = visit.send(f"/broods/{brood.id}/edit", live="-4", dropped_from="2026-06-12")
    assert page.status == 422
    assert "less than none" in page.words


def test_an_overdue_wait_is_settled(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    _brood(made, dam, 45)
    visit.post(f"/broodstock/{dam.id}/carrying", outcome="drop missed or eaten", next="/broods")
    waits = rows(made.session, Carrying, Carrying.dam_id == dam.id)
    assert [wait.outcome for wait in waits] == ["drop missed or eaten", None]
    page = visit.post(f"/broodstock/{dam.id}/carrying", outcome="no idea", next="/broods")
    assert "Not a valid choice" in page.words


def test_the_list_is_filtered_and_exported(visit: Visitor, made: Made) -> None:
    assert "No drop logged yet" in visit.open("/broods").words
    dam, _ = _bred(made)
    brood = _brood(made, dam, 3)
    gone = _brood(made, made.dam(), 3, live=0, dead=4)
    page = visit.open("/broods")
    assert brood.code in page.words
    assert gone.code in page.words
    page = visit.open("/broods?state=open")
    assert brood.code in page.words
    assert gone.code not in page.words
    page = visit.open(f"/broods?line={gone.line_id}")
    assert brood.code not in page.text.partition("entries")[2]
    sheet = visit.client.get(f"/broods.csv?line={brood.line_id}").get_data(as_text=True).splitlines()
    assert sheet[0].startswith("brood,dam,line")
    assert len(sheet) == 2
    assert ",2026-06-12,2026-06-12,20,0,0,20" in sheet[1]


def test_the_list_costs_the_same_for_many_broods(visit: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    _brood(made, dam, 50)
    one = _statements(visit, "/broods")
    _brood(made, dam, 25)
    _brood(made, dam, 0)
    _brood(made, made.dam(), 10)
    assert _statements(visit, "/broods") == one


def _statements(visit: Visitor, path: str) -> int:
    from sqlalchemy import event  # noqa: PLC0415
    from sqlalchemy.engine import Engine  # noqa: PLC0415

    seen: list[str] = []

    def note(*told: object) -> None:
        seen.append(str(told[2]))

    event.listen(Engine, "before_cursor_execute", note)
    try:
        visit.open(path)
    finally:
        event.remove(Engine, "before_cursor_execute", note)
    return sum(text.lstrip().upper().startswith("SELECT") for text in seen)


def test_a_stranger_finds_nothing(outsider: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    brood = _brood(made, dam)
    for path in (f"/broods/{brood.id}", f"/broods/{brood.id}/edit", f"/broodstock/{dam.id}/drop"):
        outsider.open(path, expect=404)
    assert outsider.post(f"/broodstock/{dam.id}/drop", live="3").status == 404
    assert outsider.post(f"/broods/{brood.id}/edit", live="3", dropped_from="2026-06-12").status == 404
    assert outsider.post(f"/broodstock/{dam.id}/carrying", outcome="not carrying").status == 404
    assert "No drop logged yet" in outsider.open("/broods").words


def test_a_reader_does_not_log(reading: Visitor, made: Made) -> None:
    dam, _ = _bred(made)
    assert reading.post(f"/broodstock/{dam.id}/drop", live="3").status == 403


def test_many_broods_are_shown_in_parts(visit: Visitor, made: Made, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.queries.broods.SHOWN", 1)
    dam, _ = _bred(made)
    young, old = _brood(made, dam, 2), _brood(made, dam, 40)
    made.session.commit()
    first = visit.open(f"/broods?line={dam.line_id}")
    assert "1 to 1 of 2" in first.words
    assert (young.code in first.words, old.code in first.words) == (True, False)
    later = next(a.get("href") or "" for a in first.all("a") if a.get("rel") == "next")
    assert f"line={dam.line_id}" in later
    assert old.code in visit.open(later).words

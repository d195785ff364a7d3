"""An empty fishroom leads to its first birth window."""

from app.store.fish import Fish
from app.store.fishrooms import Fishroom
from app.store.pairings import Pairing
from app.store.session import rows
from app.store.tanks import Section
from tests.factories import Made
from tests.support.client import Page, Visitor


def path(page: Page) -> str:
    return page.answer.request.path


def chosen(page: Page, tag: str, attribute: str) -> set[str | None]:
    return {e.get("value") for e in page.all(tag) if e.get(attribute) is not None}


def test_an_empty_fishroom_is_led_through_four_small_forms(visit: Visitor, made: Made) -> None:
    home = visit.open("/").words
    assert "Three minutes to the first birth window" in home
    assert path(visit.post("/start/measures", "/start/measures", units="us", time_zone="America/Denver")) == (
        "/start/tank"
    )
    room = made.session.get_one(Fishroom, made.actor.fishroom_id)
    made.session.refresh(room)
    assert (room.units.value, room.time_zone) == ("us", "America/Denver")
    assert path(visit.send("/start/tank", name="1", litres="10 gal")) == "/start/fish"
    section = rows(made.session, Section)[0]
    told = {"species": "guppy", "females": "2", "males": "1", "age": "5 months", "with_males": "no"}
    added = visit.send("/start/fish", line="Copper", section_id=section.id, **told)
    assert path(added) == "/start/pairing"
    assert "Added: CO1, CO2, CO3" in added.words
    assert len(chosen(added, "input", "checked")) == 3, "everybody is ticked"
    fish = rows(made.session, Fish)
    dams, sires = [f.id for f in fish if f.sex == "female"], [f.id for f in fish if f.sex == "male"]
    paired = visit.send("/start/pairing", dam_ids=dams, sire_ids=sires, started_on="2026-06-15")
    assert path(paired) == f"/pairings/{rows(made.session, Pairing)[0].id}"
    assert "in 8 of 10 cases like this" in paired.words


def test_every_step_can_be_skipped(visit: Visitor) -> None:
    at = "/start/measures"
    seen = []
    while at != "/":
        seen.append(at)
        page = visit.open(at)
        at = next(a.get("href") or "" for a in page.all("a") if "Skip this step" in "".join(a.itertext()))
    assert seen == ["/start/measures", "/start/tank", "/start/fish", "/start/pairing"]


def test_what_was_skipped_is_not_asked_again(visit: Visitor, made: Made) -> None:
    assert path(follow(visit, "/start")) == "/start/measures"
    made.tank("1")
    made.session.commit()
    assert path(follow(visit, "/start")) == "/start/fish"
    made.dam()
    made.session.commit()
    assert path(follow(visit, "/start")) == "/start/pairing"


def follow(visit: Visitor, where: str) -> Page:
    return Page(visit.app, visit.client.get(where, follow_redirects=True))


def test_units_and_zone_are_guessed_from_the_language_until_they_are_set(visit: Visitor, made: Made) -> None:
    room = made.session.get_one(Fishroom, made.actor.fishroom_id)
    room.time_zone = "UTC"
    made.session.commit()
    answer = Page(
        visit.app, visit.client.get("/start/measures", headers={"Accept-Language": "en-US,en;q=0.5"})
    )
    assert "us" in chosen(answer, "input", "checked")
    assert chosen(answer, "option", "selected") == {"America/New_York"}
    assert "data-zone-guess" in answer.text
    visit.send("/start/measures", units="metric", time_zone="Europe/Oslo")
    again = Page(visit.app, visit.client.get("/start/measures", headers={"Accept-Language": "en-US"}))
    assert chosen(again, "option", "selected") == {"Europe/Oslo"}
    assert "data-zone-guess" not in again.text


def test_a_refused_step_keeps_what_was_typed(visit: Visitor, made: Made) -> None:
    section = made.section()
    made.session.commit()
    page = visit.send(
        "/start/fish", species="guppy", line="Blue", females="", males="", section_id=section.id
    )
    assert page.status == 422
    assert page.value("line") == "Blue"
    assert "Give the number of females, of males, or of both." in page.words
    assert visit.send("/start/tank", name="", litres="much").status == 422
    assert visit.send("/start/pairing", started_on="2026-06-15").status == 422
    assert visit.send("/start/measures", units="metric", time_zone="Mars/Base").status == 422


def test_steps_that_lack_the_one_before_lead_back_to_it(visit: Visitor) -> None:
    assert "Put up a tank" in visit.open("/start/fish").words
    assert "Add the fish" in visit.open("/start/pairing").words


def test_only_the_keeper_sets_up(reading: Visitor) -> None:
    assert "The keeper puts up the tanks" in reading.open("/").words
    assert reading.client.get("/start/tank").status_code == 403

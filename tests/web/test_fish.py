"""The broodstock pages."""

import csv
from datetime import timedelta
from io import StringIO

import pytest

from app.services import broods, fish, pairings, signs
from app.services.stays import move
from app.store.carryings import Carrying
from app.store.fish import Departure, Fish, Sex, WithMales
from app.store.lines import Line
from app.store.session import rows
from app.store.signs import Sign, SignKind
from tests.factories import Made
from tests.support.client import Page, Visitor
from tests.support.statements import statements


def links(page: Page) -> set[str]:
    return {link.get("href") or "" for link in page.all("a")}


def test_an_empty_list_teaches_and_leads_on(visit: Visitor) -> None:
    page = visit.open("/broodstock")
    assert "No broodstock yet" in page.words
    assert "/broodstock/new" in links(page)


def test_without_a_tank_the_form_leads_to_putting_one_up(visit: Visitor) -> None:
    page = visit.open("/broodstock/new")
    assert "A tank comes first" in page.words
    assert "/tanks/new" in links(page)


def test_one_bought_fish_takes_one_form_and_opens_its_page(visit: Visitor, made: Made) -> None:
    line, section = made.line(name="Blue Grass"), made.section(made.tank("T3"))
    made.session.commit()
    page = visit.send(
        "/broodstock/new",
        line_id=line.id,
        sex="female",
        number="1",
        name="Amber",
        arrived_on="2026-06-12",
        age="4 months",
        born_precision="a guess",
        with_males="unknown",
        origin="bought",
        source="a club auction",
        salinity_g_per_l="3 g/L",
        gh_dh="210 ppm",
        ph="7,8",
        temperature_c="77 F",
        section_id=section.id,
        quarantine_days="28",
    )
    assert "In T3; may have carried when she came on 12 June." in page.words
    assert "in quarantine until 10 July" in page.words
    assert "3 g/L, GH 11.8 °dH, pH 7.8, 25 °C" in page.words
    one = rows(made.session, Fish)[0]
    assert one.born_on == one.arrived_on - timedelta(days=122)


def test_several_come_with_a_new_line_in_one_form_and_more_can_follow(visit: Visitor, made: Made) -> None:
    section = made.section()
    made.session.commit()
    page = visit.send(
        "/broodstock/new",
        new_line="Lyra",
        new_species="swordtail",
        sex="female",
        number="2",
        arrived_on="2026-06-15",
        born_precision="a guess",
        with_males="yes",
        origin="traded or given",
        source="a friend",
        section_id=section.id,
        quarantine_days="0",
        more="y",
    )
    assert [one.code for one in rows(made.session, Fish)] == ["LY1", "LY2"]
    assert "LY1 and LY2 came into" in page.words
    assert page.value("source") == "a friend"
    chosen = [o.get("value") for o in page.all("option") if o.get("selected") is not None]
    assert str(rows(made.session, Line)[0].id) in chosen
    assert str(section.id) in chosen


def test_nothing_typed_is_lost_on_a_refused_fish(visit: Visitor, made: Made) -> None:
    line, section = made.line(), made.section()
    made.session.commit()
    page = visit.send(
        "/broodstock/new",
        line_id=line.id,
        sex="female",
        number="a few",
        codes="A1",
        arrived_on="2026-06-20",
        age="old",
        born_precision="a guess",
        with_males="yes",
        origin="bought",
        section_id=section.id,
        quarantine_days="28",
        note="from the left bag",
    )
    assert page.status == 422
    for name, typed in (("number", "a few"), ("age", "old"), ("codes", "A1"), ("note", "from the left bag")):
        assert page.value(name) == typed
    assert "a few" in page.words


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"age": "4 months", "born_on": "2026-02-02"}, "not both"),
        ({"new_line": "Lyra", "new_species": "guppy"}, "not both"),
        ({"arrived_on": "2026-06-20"}, "still ahead"),
        ({"salinity_g_per_l": "1.003"}, "looks like a specific gravity"),
        ({"ph": "acid"}, "is not an amount"),
        ({"section_id": ""}, "Where does it stand?"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    visit: Visitor, made: Made, more: dict[str, str], words: str
) -> None:
    line, section = made.line(), made.section()
    made.session.commit()
    fields: dict[str, object] = {
        "line_id": line.id,
        "sex": "male",
        "number": "1",
        "arrived_on": "2026-06-12",
        "born_precision": "a guess",
        "with_males": "unknown",
        "origin": "bought",
        "section_id": section.id,
        "quarantine_days": "28",
    }
    page = visit.send("/broodstock/new", **{**fields, **more})
    assert page.status == 422
    assert words in page.words


def test_the_list_is_filtered_by_sex_line_and_whether_they_are_here(visit: Visitor, made: Made) -> None:
    blue, red = made.line(name="Blue"), made.line(name="Red")
    made.dam(blue, code="D1")
    made.sire(blue, code="S1")
    gone = made.dam(red, code="G1")
    fish.leave(made.session, made.actor, gone.id, on=made.actor.today, departure=Departure.DIED)
    made.session.commit()

    def shown(query: str) -> set[str]:
        words = visit.open(f"/broodstock{query}").words
        return {code for code in ("D1", "S1", "G1") if code in words}

    assert shown("") == {"D1", "S1"}
    assert shown("?sex=male") == {"S1"}
    assert shown(f"?line={red.id}") == set()
    assert shown("?state=left") == {"G1"}
    assert shown("?state=all&sex=female") == {"D1", "G1"}
    assert shown("?sex=nonsense&state=nonsense&line=x") == {"D1", "S1"}


def test_the_list_shows_the_window_of_a_dam_who_waits(visit: Visitor, made: Made) -> None:
    dam = made.dam(code="D1")
    broods.log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.days_ago(20), live=12)
    made.session.commit()
    page = visit.open("/broodstock")
    assert "likely carrying" in page.words
    assert "in 8 of 10 cases like this" in page.words


def test_the_list_as_a_file_holds_the_same_and_runs_no_formula(visit: Visitor, made: Made) -> None:
    made.dam(made.line(name="Blue"), code="=1+1", name="Ämber")
    made.session.commit()
    answer = visit.client.get("/broodstock.csv?state=all")
    assert answer.mimetype == "text/csv"
    [row] = csv.DictReader(StringIO(answer.get_data().decode("utf-8")))
    assert (row["code"], row["name"], row["line"], row["sex"]) == ("'=1+1", "Ämber", "Blue", "female")


def test_a_dams_page_says_what_is_true_and_what_comes_next(visit: Visitor, made: Made) -> None:
    line, section = made.line(name="Blue"), made.section(made.tank("T3"))
    dam, sire = made.dam(line, section, code="D1"), made.sire(line, section, code="S1")
    pairings.make_pairing(
        made.session,
        made.actor,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(50),
    )
    broods.log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.days_ago(15), live=12, dead=2)
    signs.log_sign(
        made.session, made.actor, dam.id, kind=SignKind.HIDING, seen_on=made.days_ago(1), note="in moss"
    )
    made.session.commit()
    page = visit.open(f"/broodstock/{dam.id}")
    for words in (
        "In T3; dropped last on 31 May.",
        "With S1",
        "in 8 of 10 cases like this",
        "that she is carrying",
        "Why these dates",
        "Dropped 12 live fry and 2 dead",
        "Put with S1 in T3",
        "Hiding seen",
        "in moss",
        "Came into T3, bought",
    ):
        assert words in page.words
    offered = {f"/broodstock/{dam.id}/{act}" for act in ("drop", "move", "rehome", "left", "edit")}
    assert offered <= links(page)


def test_a_sign_takes_a_tap_on_its_kind_and_is_taken_back_in_place(visit: Visitor, made: Made) -> None:
    dam = made.dam(code="D1")
    made.session.commit()
    here = f"/broodstock/{dam.id}"
    page = visit.post(f"{here}/signs", here, seen_on="2026-06-15", kind="squared belly")
    assert "D1: squared belly seen on 15 June" in page.words
    [sign] = rows(made.session, Sign)
    assert sign.kind is SignKind.SQUARED_BELLY
    undo = next(f.get("action") or "" for f in page.all("form") if "next=" in (f.get("action") or ""))
    back = visit.post(undo, here)
    assert "Taken back" in back.words
    assert back.answer.request.path == here
    assert not rows(made.session, Sign)


def test_a_sign_without_a_kind_is_asked_for_again(visit: Visitor, made: Made) -> None:
    dam = made.dam()
    made.session.commit()
    page = visit.send(f"/broodstock/{dam.id}/signs", seen_on="2026-06-15", note="odd")
    assert page.status == 422
    assert page.value("note") == "odd"


def test_an_overdue_dam_is_settled_from_her_page(visit: Visitor, made: Made) -> None:
    line, section = made.line(), made.section()
    dam = made.dam(line, section, code="D1", with_males=WithMales.UNKNOWN)
    broods.log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.days_ago(59), live=0, dead=3)
    made.session.commit()
    here = f"/broodstock/{dam.id}"
    page = visit.open(here)
    assert "What became of it?" in page.words
    answered = visit.post(f"{here}/carrying?next={here}", here, outcome="not carrying")
    assert "Not waiting for a drop." in answered.words
    assert all(spell.ended_on is not None for spell in rows(made.session, Carrying))


def test_a_fish_is_moved_and_a_refused_move_says_why(visit: Visitor, made: Made) -> None:
    dam, there = made.dam(code="D1"), made.section(made.tank("T9"))
    made.session.commit()
    refused = visit.send(f"/broodstock/{dam.id}/move", section_id=there.id, on="2026-01-01")
    assert refused.status == 422
    assert "Give a later day" in refused.words
    page = visit.send(f"/broodstock/{dam.id}/move", section_id=there.id, on="2026-06-14")
    assert "In T9." in page.words
    assert "Moved to T9" in page.words


def test_a_fish_that_died_keeps_its_page(visit: Visitor, made: Made) -> None:
    sire = made.sire(code="S1")
    made.session.commit()
    assert visit.send(f"/broodstock/{sire.id}/left", on="2026-06-14").status == 422
    page = visit.send(f"/broodstock/{sire.id}/left", departure="died", on="2026-06-14", note="old age")
    assert "Died 14 June." in page.words
    assert f"/broodstock/{sire.id}/move" not in links(page)


def test_a_fish_is_corrected_and_keeps_the_decimals_that_were_not_shown(visit: Visitor, made: Made) -> None:
    line = made.line()
    mother = made.dam(line, code="M1", born_on=made.days_ago(600), arrived_on=made.days_ago(500))
    dam = made.dam(line, code="D1", length_mm=41.2345)
    made.session.commit()
    here = f"/broodstock/{dam.id}/edit"
    form = visit.open(here)
    sent = {
        "code": "D2",
        "sex": "female",
        "line_id": line.id,
        "born_on": form.value("born_on"),
        "born_precision": "to the week",
        "arrived_on": form.value("arrived_on"),
        "with_males": "no",
        "length_mm": form.value("length_mm"),
        "dam_id": mother.id,
    }
    page = visit.send(here, **sent)
    assert "D2 corrected" in page.words
    assert "M1" in page.words
    made.session.refresh(dam)
    assert (dam.length_mm, dam.dam_id) == (41.2345, mother.id)
    refused = visit.send(f"/broodstock/{mother.id}/edit", **{**sent, "code": "M1", "dam_id": dam.id})
    assert refused.status == 422


@pytest.mark.parametrize("path", ["/broodstock", "/broodstock/{dam}"])
def test_the_pages_read_no_more_for_more_fish(visit: Visitor, made: Made, path: str) -> None:
    line, section = made.line(), made.section()
    dam = made.dam(line, section)
    made.sire(line, section)

    def live_a_little(number: int) -> None:
        other = made.dam(line, section)
        broods.log_drop(made.session, made.actor, dam_id=other.id, dropped_from=made.days_ago(20), live=9)
        signs.log_sign(made.session, made.actor, dam.id, kind=SignKind.HIDING, seen_on=made.days_ago(number))
        move(
            made.session,
            made.actor,
            section_id=made.section().id,
            on=made.days_ago(30 - number),
            fish_ids=[dam.id],
        )
        broods.log_drop(
            made.session,
            made.actor,
            dam_id=dam.id,
            dropped_from=made.days_ago(1 + 3 * number),
            live=9,
            sooner=True,
        )
        made.session.commit()

    for number in range(2):
        live_a_little(number)
    few = statements(visit, path.format(dam=dam.id))
    for number in range(2, 6):
        live_a_little(number)
    assert statements(visit, path.format(dam=dam.id)) == few


def test_a_reader_looks_but_does_not_log(reading: Visitor, made: Made) -> None:
    dam = made.dam()
    made.session.commit()
    page = reading.open(f"/broodstock/{dam.id}")
    assert not links(page) & {f"/broodstock/{dam.id}/{act}" for act in ("drop", "move", "left", "edit")}
    assert reading.post(f"/broodstock/{dam.id}/signs", kind="hiding", seen_on="2026-06-15").status == 403
    assert reading.post(f"/broodstock/{dam.id}/left", departure="died", on="2026-06-15").status == 403


def test_a_helper_logs_but_does_not_correct(helping: Visitor, made: Made) -> None:
    dam = made.dam(code="D1")
    made.session.commit()
    here = f"/broodstock/{dam.id}"
    page = helping.open(here)
    assert f"{here}/move" in links(page)
    assert f"{here}/edit" not in links(page)
    assert not [f for f in page.all("form") if "/undo" in (f.get("action") or "")]
    logged = helping.post(f"{here}/signs", here, kind="hiding", seen_on="2026-06-15")
    assert [f for f in logged.all("form") if "/undo" in (f.get("action") or "")]
    answer = helping.post(
        f"{here}/edit",
        f"{here}/edit",
        code="X",
        sex="female",
        line_id=dam.line_id,
        arrived_on="2026-06-01",
        born_precision="a guess",
        with_males="no",
    )
    assert answer.status == 403


def test_a_stranger_finds_no_fish(outsider: Visitor, made: Made) -> None:
    dam = made.fish(Sex.FEMALE)
    made.session.commit()
    for path in ("", "/edit", "/move", "/left", "/signs"):
        outsider.open(f"/broodstock/{dam.id}{path}", expect=404)

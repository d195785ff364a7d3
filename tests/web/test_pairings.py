"""The pairing pages."""

from app.queries.pairings import pairing_page
from app.services import broods
from app.store.carryings import Carrying
from app.store.fish import Sex
from app.store.pairings import Pairing
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor


def test_a_pairing_is_looked_over_before_it_is_saved(visit: Visitor, made: Made) -> None:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line), made.sire(line)
    made.session.commit()
    chosen = {
        "dam_ids": [dam.id],
        "sire_ids": [sire.id],
        "section_id": section.id,
        "started_on": "2026-06-14",
    }
    page = visit.send("/pairings/new", **chosen)
    assert page.status == 200
    assert "Nothing is saved yet" in page.words
    assert "1 female and 1 male" in page.words
    assert "2 to 3 females a male is usual" in page.words
    assert "none; a virgin" in page.words
    assert f"{dam.code} and {sire.code} will be moved" in page.words
    assert not rows(made.session, Pairing)
    page = visit.send("/pairings/new", **chosen, looked=page.value("looked"))
    assert f"{dam.code} × {sire.code}" in page.words
    assert "1 female, 1 male, no brood yet" in page.words
    assert len(rows(made.session, Carrying, Carrying.dam_id == dam.id)) == 1


def test_a_pairing_changed_after_the_look_is_looked_over_again(visit: Visitor, made: Made) -> None:
    line, section = made.line(), made.section()
    dams, sire = [made.dam(line), made.dam(line)], made.sire(line)
    made.session.commit()
    chosen = {"sire_ids": [sire.id], "section_id": section.id, "started_on": "2026-06-14"}
    page = visit.send("/pairings/new", dam_ids=[dams[0].id], **chosen)
    both = [dam.id for dam in dams]
    page = visit.send("/pairings/new", dam_ids=both, looked=page.value("looked"), **chosen)
    assert "2 females and 1 male" in page.words
    assert not rows(made.session, Pairing)


def test_siblings_are_pointed_out(visit: Visitor, made: Made) -> None:
    line, section = made.line(), made.section()
    mother, father = made.dam(line), made.sire(line)
    sister = made.dam(line, dam_id=mother.id, sire_id=father.id)
    brother = made.sire(line, dam_id=mother.id, sire_id=father.id)
    made.session.commit()
    page = visit.send("/pairings/new", dam_ids=[sister.id], sire_ids=[brother.id], section_id=section.id)
    assert "as close as brother and sister" in page.words
    assert "0.250" in page.words


def test_other_males_whose_sperm_may_be_stored_are_named(visit: Visitor, made: Made) -> None:
    line, before = made.line(), made.section()
    dam, old = made.dam(line, before), made.sire(line, before)
    new = made.sire(line)
    made.session.commit()
    page = visit.send("/pairings/new", dam_ids=[dam.id], sire_ids=[new.id], section_id=made.section().id)
    assert f"Her next broods may be by {old.code}" in page.words


def test_a_refused_pairing_keeps_what_was_ticked(visit: Visitor, made: Made) -> None:
    dam, sire = made.dam(made.line()), made.sire(made.line("swordtail"))
    section = made.section()
    made.session.commit()
    page = visit.send(
        "/pairings/new", dam_ids=[dam.id], sire_ids=[sire.id], section_id=section.id, note="by the door"
    )
    assert page.status == 422
    assert "no young together" in page.words
    ticked = [
        field.get("value")
        for field in page.all("input")
        if field.get("type") == "checkbox" and field.get("checked") is not None
    ]
    assert ticked == [str(dam.id), str(sire.id)]
    assert page.value("note") == "by the door"


def test_an_empty_choice_is_asked_for_in_words(visit: Visitor, made: Made) -> None:
    made.dam()
    made.sire()
    made.session.commit()
    page = visit.send("/pairings/new")
    assert page.status == 422
    assert "Choose at least one dam" in page.words
    assert "Where are they put together?" in page.words


def test_a_link_brings_its_dam_and_section_along(visit: Visitor, made: Made) -> None:
    dam = made.dam()
    made.sire()
    section = made.section()
    made.session.commit()
    page = visit.open(f"/pairings/new?dam={dam.id}&section={section.id}")
    assert [f.get("value") for f in page.all("input") if f.get("checked") is not None] == [str(dam.id)]
    assert [o.get("value") for o in page.all("option") if o.get("selected") is not None] == [str(section.id)]


def _paired(visit: Visitor, made: Made) -> tuple[int, list[int]]:
    line, section = made.line(), made.section()
    fish = [made.dam(line), made.dam(line), made.sire(line)]
    made.session.commit()
    ids = [one.id for one in fish]
    chosen = {"dam_ids": ids[:2], "sire_ids": ids[2:], "section_id": section.id, "started_on": "2026-06-10"}
    looked = visit.send("/pairings/new", **chosen).value("looked")
    visit.send("/pairings/new", **chosen, looked=looked)
    return rows(made.session, Pairing)[-1].id, ids


def test_a_pairing_is_ended_on_its_page(visit: Visitor, made: Made) -> None:
    number, _ = _paired(visit, made)
    away = made.section()
    made.session.commit()
    page = visit.post(f"/pairings/{number}/end", on="2026-06-12", males_to=away.id)
    assert "from 10 June to 12 June" in page.words
    page = visit.post(f"/pairings/{number}/end", on="2026-06-13")
    assert "This pairing ended on 12 June" in page.words


def test_a_wrong_end_is_refused_on_the_page(visit: Visitor, made: Made) -> None:
    number, _ = _paired(visit, made)
    page = visit.post(f"/pairings/{number}/end", on="2026-06-01")
    assert page.status == 422
    assert "The pairing began on 10 June" in page.words


def test_fish_join_and_leave_on_its_page(visit: Visitor, made: Made) -> None:
    number, ids = _paired(visit, made)
    late = made.dam(made.line("endler"))
    made.session.commit()
    page = visit.post(f"/pairings/{number}/members", fish_id=late.id)
    assert "3 females, 1 male" in page.words
    page = visit.post(f"/pairings/{number}/members/out", fish_id=ids[0])
    assert "2 females, 1 male" in page.words
    page = visit.post(f"/pairings/{number}/members/out", fish_id=ids[2])
    assert page.status == 422
    assert "End the pairing instead" in page.words


def test_the_list_teaches_when_it_is_empty_and_fills(visit: Visitor, made: Made) -> None:
    assert "A pairing says which sires and dams" in visit.open("/pairings").words
    number, _ = _paired(visit, made)
    page = visit.open("/pairings")
    assert "1 pairing running" in page.words
    assert f"/pairings/{number}" in page.text
    sheet = visit.client.get("/pairings.csv")
    assert sheet.mimetype == "text/csv"
    assert "2026-06-10" in sheet.get_data(as_text=True)


def test_a_stranger_finds_no_pairing(visit: Visitor, outsider: Visitor, made: Made) -> None:
    number, _ = _paired(visit, made)
    outsider.open(f"/pairings/{number}", expect=404)
    for path in ("end", "members", "members/out"):
        assert outsider.post(f"/pairings/{number}/{path}", on="2026-06-12", fish_id=1).status == 404


def test_a_reader_sees_but_does_not_change(visit: Visitor, reading: Visitor, made: Made) -> None:
    number, _ = _paired(visit, made)
    page = reading.open(f"/pairings/{number}")
    assert "End the pairing" not in page.words
    assert reading.post(f"/pairings/{number}/end", on="2026-06-12").status == 403


def test_the_form_offers_grown_fish_that_are_free(visit: Visitor, made: Made) -> None:
    _paired(visit, made)
    young = made.fish(Sex.FEMALE, born_on=made.days_ago(10), arrived_on=made.days_ago(10))
    free, male = made.dam(), made.sire()
    made.session.commit()
    page = visit.open("/pairings/new")
    offered = {f.get("value") for f in page.all("input") if f.get("type") == "checkbox"}
    assert offered == {str(free.id), str(male.id)}
    assert str(young.id) not in offered


def test_two_dams_that_wait_are_drawn_on_the_same_dates(visit: Visitor, made: Made) -> None:
    number, ids = _paired(visit, made)
    broods.log_drop(made.session, made.actor, dam_id=ids[0], dropped_from=made.days_ago(1), live=9)
    made.session.commit()
    drawn = [dam.ribbon for dam in pairing_page(made.session, made.actor, number).dams if dam.ribbon]
    assert len(drawn) == 2
    assert len({(ribbon.start, ribbon.end) for ribbon in drawn}) == 1
    assert drawn[0].median_x != drawn[1].median_x

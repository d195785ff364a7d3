"""The lineage pages."""

from app.store.fish import Fish
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements


def family(made: Made) -> dict[str, Fish]:
    """Return two founders, their two children, and the young of those siblings."""
    line = made.line(name="Blue")
    old, young = made.days_ago(600), made.days_ago(400)
    found = {
        "M": made.dam(line, code="Mother", born_on=old, arrived_on=made.days_ago(500)),
        "F": made.sire(line, code="Father", born_on=old, arrived_on=made.days_ago(500)),
    }
    dam_id, sire_id = found["M"].id, found["F"].id
    found["D"] = made.dam(line, code="Daughter", born_on=young, dam_id=dam_id, sire_id=sire_id)
    found["S"] = made.sire(line, code="Son", born_on=young, dam_id=dam_id, sire_id=sire_id)
    found["X"] = made.dam(line, code="Inbred", dam_id=found["D"].id, sire_id=found["S"].id)
    made.session.commit()
    return found


def test_with_no_fish_the_page_teaches(visit: Visitor) -> None:
    assert "No fish on record yet" in visit.open("/lineage").words


def test_the_young_of_siblings_are_inbred_by_a_quarter(visit: Visitor, made: Made) -> None:
    fish = family(made)
    page = visit.open(f"/lineage/{fish['X'].id}")
    assert "Inbreeding F 0.250: its parents are as close as brother and sister" in page.words
    assert "2 generations on record" in page.words
    assert "F 0.250" in visit.open(f"/broodstock/{fish['X'].id}").words


def test_mates_are_ranked_from_the_least_related(visit: Visitor, made: Made) -> None:
    fish = family(made)
    made.sire(made.line(name="Red"), code="Other")
    made.sire(made.line("swordtail"), code="Sword")
    made.session.commit()
    page = visit.open(f"/lineage/{fish['D'].id}")
    heads = [" ".join(cell.itertext()) for cell in page.all("th") if cell.get("scope") == "row"]
    assert heads == ["Father", "Son", "Other"]
    assert "0.250" in page.words
    assert "Sword" not in page.words.split("the least related first")[1]


def test_a_deep_pedigree_is_drawn_as_far_as_asked(visit: Visitor, made: Made) -> None:
    line = made.line()
    first = made.dam(line, born_on=None, code="G0")
    last = first
    for step in range(1, 8):
        last = made.dam(line, born_on=None, code=f"G{step}", dam_id=last.id)
    made.session.commit()
    shallow = visit.open(f"/lineage/{last.id}")
    tree = shallow.words.split("Forebears")[1]
    assert "G3" in tree
    assert "G2" not in tree
    assert f"/lineage/{last.id}?depth=7" in {link.get("href") for link in shallow.all("a")}
    assert "G0" in visit.open(f"/lineage/{last.id}?depth=7").words.split("Forebears")[1]
    assert "G3" not in visit.open(f"/lineage/{last.id}?depth=-2").words.split("Forebears")[1]


def test_each_line_tells_its_breeding_size(visit: Visitor, made: Made) -> None:
    family(made)
    page = visit.open("/lineage")
    heads = [" ".join(cell.itertext()) for cell in page.all("th") if cell.get("scope") == "col"]
    cells = ((str(cell.get("data-label")), "".join(cell.itertext())) for cell in page.all("td"))
    figures = {label: " ".join(words.split()) for label, words in cells}
    assert heads[1:] == list(figures)
    assert figures["Adults here"] == "3 dams, 2 sires"
    assert (figures["Breeding size"], figures["Rise a generation"]) == ("4.8", "0.104")


def test_a_fish_is_looked_up_from_the_list(visit: Visitor, made: Made) -> None:
    fish = family(made)
    answer = visit.client.get(f"/lineage?fish_id={fish['M'].id}")
    assert answer.status_code == 303
    assert answer.headers["Location"] == f"/lineage/{fish['M'].id}"


def test_the_pages_read_no_more_for_more_fish(visit: Visitor, made: Made) -> None:
    fish = family(made)
    paths = ("/lineage", f"/lineage/{fish['X'].id}")
    few = [statements(visit, path) for path in paths]
    family_two = made.line(name="Green")
    for _ in range(4):
        made.dam(family_two, dam_id=fish["D"].id)
        made.sire(family_two)
    made.session.commit()
    assert [statements(visit, path) for path in paths] == few


def test_a_stranger_finds_no_lineage(outsider: Visitor, made: Made) -> None:
    fish = family(made)
    outsider.open(f"/lineage/{fish['X'].id}", expect=404)
    assert "Mother" not in outsider.open("/lineage").words

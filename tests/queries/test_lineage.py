"""What the lineage pages read."""

from app.queries.lineage import fish_lineage, forebears, generations, herd, lineage_page
from app.store.actor import Actor
from app.store.fish import Origin
from app.store.session import RoomSession
from tests.factories import Made


def test_a_forebear_met_twice_is_followed_up_once(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    root = made.dam(line, born_on=None)
    shared = made.dam(line, born_on=None, dam_id=root.id)
    mother = made.dam(line, born_on=None, dam_id=shared.id)
    father = made.sire(line, born_on=None, dam_id=shared.id)
    child = made.dam(line, born_on=None, dam_id=mother.id, sire_id=father.id)
    tree = forebears(herd(session, keeper), child.id)
    assert tree.dam is not None
    assert tree.dam.dam is not None
    assert tree.dam.dam.dam is not None
    assert tree.sire is not None
    assert tree.sire.dam is not None
    assert tree.sire.dam.dam is None
    assert "parents on record" in tree.sire.dam.detail


def test_the_tree_ends_where_the_depth_does(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    granddam = made.dam(line, born_on=None)
    dam = made.dam(line, born_on=None, dam_id=granddam.id)
    child = made.dam(line, born_on=None, dam_id=dam.id)
    of = herd(session, keeper)
    tree = forebears(of, child.id, depth=1)
    assert tree.dam is not None
    assert tree.dam.dam is None
    assert generations(of, child.id) == 2


def test_no_kin_is_said_with_care_where_parents_are_not_known(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    dam, sire = made.dam(line), made.sire(line)
    page = fish_lineage(session, keeper, dam.id)
    [mate] = page.own_line
    assert (mate.id, mate.inbreeding, mate.close) == (sire.id, 0.0, False)
    assert mate.words == "no kin on record; not all parents are known"
    assert page.words.startswith("not both parents are on record")


def test_half_siblings_are_close_at_an_eighth(session: RoomSession, keeper: Actor, made: Made) -> None:
    line = made.line()
    mother = made.dam(line, born_on=None)
    daughter = made.dam(line, dam_id=mother.id, origin=Origin.HOMEBRED)
    son = made.sire(line, dam_id=mother.id, origin=Origin.HOMEBRED)
    mates = {mate.id: mate for mate in fish_lineage(session, keeper, daughter.id).own_line}
    assert (mates[son.id].inbreeding, mates[son.id].close) == (0.125, True)


def test_mates_of_a_line_that_can_cross_are_told_apart(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam(made.line("guppy"))
    crossing = made.sire(made.line("endler"))
    made.sire(made.line("halfbeak"))
    page = fish_lineage(session, keeper, dam.id)
    assert page.own_line == ()
    assert [mate.id for mate in page.other_lines] == [crossing.id]


def test_one_male_among_many_females_makes_the_breeding_size_small(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    made.sire(line)
    for _ in range(9):
        made.dam(line)
    [row] = lineage_page(session, keeper).lines
    assert row.effective is not None
    assert row.rise is not None
    assert (round(row.effective, 6), round(row.rise, 6)) == (3.6, 0.138889)

"""The hindcast page keeps score."""

from app.services.broods import log_drop
from app.services.forecasts import issue_missing
from tests.factories import Made
from tests.support.client import Visitor
from tests.web.test_rounds import waiting_dam


def test_without_a_drop_there_is_nothing_to_score(visit: Visitor) -> None:
    assert "No forecast has met its drop yet" in visit.open("/hindcast").words


def test_a_drop_is_scored_against_the_window_first_shown(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made, 40)
    issue_missing(made.session, made.actor)
    log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.actor.today, live=12)
    made.session.commit()
    page = visit.open("/hindcast")
    assert "1 of 1 drop fell in the window" in page.words
    assert "few: chance alone" in page.words

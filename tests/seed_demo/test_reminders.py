"""Over the demo's next months no morning says the same twice."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.core.reminders import RULES, ahead, due
from app.queries.facts import morning
from app.store.actor import Actor
from app.store.session import RoomSession

ONE_WINDOW = {"carrying", "waiting", "sexing", "ready", "quarantine"}
"""Stages of one window or clock each, of which one reminder at a time is enough."""


@pytest.mark.parametrize("days", [0, 1, 4, 9, 16, 25, 40, 70])
def test_no_morning_says_the_same_twice(demo: RoomSession, owner: Actor, days: int) -> None:
    today = morning(demo, replace(owner, now=owner.now + timedelta(days=days)))
    asked = due(today.facts, today.answers)
    assert asked
    words = [reminder.words for reminder in asked]
    assert sorted(words) == sorted(set(words))
    about = [(r.subject.key, r.stage) for r in asked if r.stage in ONE_WINDOW]
    assert sorted(about) == sorted(set(about))


def test_over_a_season_every_occasion_has_a_name_of_its_own(demo: RoomSession, owner: Actor) -> None:
    today = morning(demo, owner)
    keys = [reminder.key for reminder in ahead(today.facts, today.answers, 120)]
    assert len(keys) > 20
    assert len(keys) == len(set(keys))
    assert max(len(key) for key in keys) <= 120
    assert max(len(rule.key) for rule in RULES) <= 40

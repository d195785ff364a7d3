"""``reckon salt`` follows the salt through events."""

import pytest

from tests.cli.reckon.ask import Item, ask, refusal

EVENTS: list[Item] = [
    {"kind": "dose", "grams": 96, "date": "2025-03-01"},
    {"kind": "change", "fraction": 0.25, "date": "2025-03-04"},
    {"kind": "top_up", "litres": 3, "date": "2025-03-05"},
    {"kind": "change", "litres": 20, "source_g_per_l": 0.2, "date": "2025-03-05"},
]


def test_the_strength_is_known_after_each_event_and_the_dose_is_exact() -> None:
    answer = ask("salt", {"litres": 40, "events": EVENTS, "target_g_per_l": 2.4})
    assert answer["g_per_l"] == pytest.approx([2.4, 1.8, 1.8, 1.0])
    assert answer["dose_grams_to_target"] == pytest.approx(56.0)


def test_without_a_target_there_is_no_dose() -> None:
    assert ask("salt", {"litres": 40, "events": []}) == {"g_per_l": [], "dose_grams_to_target": None}


def test_a_tank_above_its_target_needs_no_dose() -> None:
    assert ask("salt", {"litres": 40, "events": EVENTS, "target_g_per_l": 0.5})["dose_grams_to_target"] == 0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"litres": 0}, "litres: 0 cannot be; give a number in L from 0.001"),
        ({"events": [{"kind": "dose", "kg": 1}]}, "events[0].kg: unknown key"),
        ({"events": [{"kind": "change"}]}, "exactly one of: fraction, litres"),
        (
            {"events": [{"kind": "change", "litres": 41}]},
            "events[0].litres: 41 L is more than the tank's 40 L",
        ),
        ({"events": [{"kind": "top_up", "litres": 41}]}, "events[0].litres: 41 L cannot evaporate"),
        ({"events": [EVENTS[0], {"kind": "dose", "grams": 9e6}]}, "events[1].grams"),
        ({"events": EVENTS[::-1]}, "events[2].date: 2025-03-04 lies before 2025-03-05"),
    ],
)
def test_impossible_events_are_refused_by_place(change: Item, words: str) -> None:
    assert words in refusal("salt", {"litres": 40, "events": [], **change})

"""One phrasing for every page."""

import pytest

from app.core.wording import carrying_words


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.97, "very likely carrying"),
        (0.9, "very likely carrying"),
        (0.8, "likely carrying"),
        (0.5, "may be carrying"),
        (0.3, "probably not carrying"),
        (0.04, "hardly carrying"),
    ],
)
def test_a_chance_of_carrying_is_graded(chance: float, words: str) -> None:
    assert carrying_words(chance) == words

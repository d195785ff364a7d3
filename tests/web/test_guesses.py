"""Units and time zone, guessed from how a browser speaks."""

import pytest

from app.core.quantities import Units
from app.services.fishrooms import zones
from app.web.guesses import SPOKEN_IN, ZONES, guessed_units, guessed_zone


@pytest.mark.parametrize(
    ("languages", "units", "zone"),
    [
        (["en-US", "en"], Units.US, "America/New_York"),
        (["en-GB"], Units.METRIC, "Europe/London"),
        (["de"], Units.METRIC, "Europe/Berlin"),
        (["de-AT", "en-US"], Units.METRIC, "Europe/Vienna"),
        (["zh-Hant-TW"], Units.METRIC, "Asia/Taipei"),
        (["en", "pt_BR"], Units.METRIC, "America/Sao_Paulo"),
        (["en"], Units.METRIC, "UTC"),
        ([], Units.METRIC, "UTC"),
    ],
)
def test_a_browsers_language_tells_units_and_zone(languages: list[str], units: Units, zone: str) -> None:
    assert (guessed_units(languages), guessed_zone(languages)) == (units, zone)


def test_every_guess_is_on_the_list_that_is_offered() -> None:
    assert set(ZONES.values()) <= zones()
    assert set(SPOKEN_IN.values()) <= set(ZONES)

"""What is said beside the dates of a sexing forecast."""

from dataclasses import dataclass
from datetime import date

from app.core.species import Species
from app.core.thermal import BREEDING_C, TemperatureLog
from app.core.windows import Window
from app.core.wording import day_words

LATE_MALES_SD = 20.0


@dataclass(frozen=True, slots=True)
class SexingDates:
    """The dates of a sexing forecast, and from when on to look for the first males."""

    first_signs: date
    opens: date
    opens_80: Window
    comfortable: date
    split_by: date
    look_from: date


def notes(
    species: Species, today: date, temperature: TemperatureLog | None, dates: SexingDates
) -> tuple[str, ...]:
    """Return the sentences a keeper should read beside the dates."""
    return (*_split(today, dates), *_late_males(species), *_thin(species, today, temperature))


def _split(today: date, dates: SexingDates) -> tuple[str, ...]:
    """Say what to do where males may be fertile before they can be told, or may be so already."""
    split, opens = (day_words(day, today) for day in (dates.split_by, dates.opens))
    if today > dates.split_by:
        told = f"Until half of the batch can be told ({opens}), look" if today < dates.opens else "Look"
        return (
            (
                f"Males may have been fertile since {split}: think of every female kept with them since as "
                f"mated. {told} every few days, and take out each fish that shows the signs of a male."
            ),
        )
    if dates.split_by >= dates.opens:
        return ()
    look = day_words(max(dates.look_from, today), today)
    return (
        (
            f"The first males may be fertile by {split}, and half of the batch can be told only from "
            f"{opens}. So look every few days from {look} on, and take out each fish that shows the first "
            "signs of a male."
        ),
    )


def _late_males(species: Species) -> tuple[str, ...]:
    if species.sexable_sd < LATE_MALES_SD:
        return ()
    return (
        (
            f"In {species.common_name} stock males ripen early or very late, by their genes: late males may "
            "still turn up among the females."
        ),
    )


def _thin(species: Species, today: date, temperature: TemperatureLog | None) -> tuple[str, ...]:
    low, high = BREEDING_C
    found = []
    if species.split_by_days is None:
        found.append("No published age of first fertility: split by is where one fish in twenty can be told.")
    if temperature is None:
        found.append("No temperature given: 25 °C is assumed.")
    elif not low <= temperature.at(today) <= high:
        found.append(f"Outside {low:g} to {high:g} °C these dates are guesses.")
    return tuple(found)

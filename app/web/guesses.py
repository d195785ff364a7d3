"""What a browser's language lets us guess before anybody is asked: the units, and a time zone."""

from collections.abc import Iterable

from app.core.quantities import Units

US_MEASURES = frozenset({"US", "LR"})
# The most peopled zone of each country (judgement); a browser with scripts names its own instead.
ZONES = {
    "AR": "America/Argentina/Buenos_Aires", "AT": "Europe/Vienna", "AU": "Australia/Sydney",
    "BE": "Europe/Brussels", "BG": "Europe/Sofia", "BR": "America/Sao_Paulo", "CA": "America/Toronto",
    "CH": "Europe/Zurich", "CL": "America/Santiago", "CN": "Asia/Shanghai", "CO": "America/Bogota",
    "CZ": "Europe/Prague", "DE": "Europe/Berlin", "DK": "Europe/Copenhagen", "ES": "Europe/Madrid",
    "FI": "Europe/Helsinki", "FR": "Europe/Paris", "GB": "Europe/London", "GR": "Europe/Athens",
    "HK": "Asia/Hong_Kong", "HR": "Europe/Zagreb", "HU": "Europe/Budapest", "ID": "Asia/Jakarta",
    "IE": "Europe/Dublin", "IL": "Asia/Jerusalem", "IN": "Asia/Kolkata", "IT": "Europe/Rome",
    "JP": "Asia/Tokyo", "KR": "Asia/Seoul", "MX": "America/Mexico_City", "MY": "Asia/Kuala_Lumpur",
    "NL": "Europe/Amsterdam", "NO": "Europe/Oslo", "NZ": "Pacific/Auckland", "PH": "Asia/Manila",
    "PL": "Europe/Warsaw", "PT": "Europe/Lisbon", "RO": "Europe/Bucharest", "RU": "Europe/Moscow",
    "SE": "Europe/Stockholm", "SG": "Asia/Singapore", "SI": "Europe/Ljubljana", "SK": "Europe/Bratislava",
    "TH": "Asia/Bangkok", "TR": "Europe/Istanbul", "TW": "Asia/Taipei", "UA": "Europe/Kyiv",
    "US": "America/New_York", "VN": "Asia/Ho_Chi_Minh", "ZA": "Africa/Johannesburg",
}  # fmt: skip
SPOKEN_IN = {
    "bg": "BG", "cs": "CZ", "da": "DK", "de": "DE", "el": "GR", "es": "ES", "fi": "FI", "fr": "FR",
    "he": "IL", "hr": "HR", "hu": "HU", "id": "ID", "it": "IT", "ja": "JP", "ko": "KR", "nb": "NO",
    "nl": "NL", "pl": "PL", "ro": "RO", "ru": "RU", "sk": "SK", "sl": "SI", "sv": "SE", "th": "TH",
    "tr": "TR", "uk": "UA", "vi": "VN",
}  # fmt: skip


def guessed_units(languages: Iterable[str]) -> Units:
    """Return US measures for a browser that speaks as in the United States, else metric ones."""
    return Units.US if _country(languages) in US_MEASURES else Units.METRIC


def guessed_zone(languages: Iterable[str]) -> str:
    """Return the zone most people of the browser's country live in; UTC where nothing tells."""
    return ZONES.get(_country(languages), "UTC")


def _country(languages: Iterable[str]) -> str:
    """Return the country of the first language that has one."""
    for tag in languages:
        language, *rest = tag.replace("_", "-").split("-")
        regions = [part.upper() for part in rest if len(part) == 2]
        country = regions[0] if regions else SPOKEN_IN.get(language.lower(), "")
        if country:
            return country
    return ""

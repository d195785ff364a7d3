"""The menu: where a person can go, and where they are."""

from dataclasses import dataclass

from flask import g, request, url_for

from app.web.signin import actor

MAIN = (
    ("Rounds", "rounds.today", "rounds"),
    ("Almanac", "almanac.ahead", "almanac"),
    ("Tanks", "tanks.listing", "tanks"),
    ("Broodstock", "fish.listing", "broodstock"),
    ("Broods", "broods.listing", "broods"),
    ("Projects", "projects.listing", "projects"),
    ("Water bench", "bench.page", "bench"),
)
MORE = (
    ("Lines", "lines.listing", "lines"),
    ("Lineage", "lineage.page", "lineage"),
    ("Cases", "cases.listing", "cases"),
    ("Waters", "waters.listing", "waters"),
    ("Rehoming", "rehomings.listing", "rehoming"),
    ("Hindcast", "hindcast.page", "hindcast"),
    ("History", "history.listing", "history"),
    ("Methods", "methods.page", "methods"),
    ("Settings", "settings.page", "settings"),
)


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of the menu."""

    label: str
    url: str
    current: bool
    icon: str


@dataclass(frozen=True, slots=True)
class Navigation:
    """The whole menu, and whose fishroom this is."""

    main: tuple[Item, ...]
    more: tuple[Item, ...]
    fishroom: str
    user: str
    role: str
    signout_url: str


def _items(rows: tuple[tuple[str, str, str], ...]) -> tuple[Item, ...]:
    here = (request.endpoint or "").split(".")[0]
    return tuple(
        Item(label, url_for(endpoint), endpoint.split(".")[0] == here, icon) for label, endpoint, icon in rows
    )


def navigation() -> Navigation | None:
    """Return the menu for the signed-in member, or nothing before sign-in."""
    if "actor" not in g:
        return None
    return Navigation(
        _items(MAIN), _items(MORE), g.fishroom.name, g.email, actor().role.value, url_for("signin.out")
    )

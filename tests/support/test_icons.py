"""The icons that are shipped are what the mark draws today."""

import json

import pytest
from PIL import Image, ImageChops

from tests.support.icons import FOLDER, ICONS, ROOT, SAFE, icon


@pytest.mark.parametrize("name", ICONS)
def test_an_icon_is_what_the_mark_draws(name: str) -> None:
    with Image.open(FOLDER / name) as kept:
        drawn = icon(*ICONS[name]).convert("RGBA")
        assert kept.size == drawn.size
        apart = ImageChops.difference(kept.convert("RGBA"), drawn).tobytes()
        assert max(apart) <= 24, "run python -m tests.support.icons"


def test_what_a_mask_may_cut_holds_no_part_of_the_mark() -> None:
    picture = icon(192, SAFE).convert("RGB")
    sheet = picture.getpixel((0, 0))
    radius = 0.4 * 192  # the safe zone of a maskable icon: a circle of four fifths of its width
    outside = [
        picture.getpixel((x, y))
        for x in range(192)
        for y in range(192)
        if (x - 95.5) ** 2 + (y - 95.5) ** 2 > radius**2
    ]
    assert set(outside) == {sheet}


def test_the_manifest_names_pictures_that_are_there_in_the_sizes_it_says() -> None:
    manifest = json.loads((ROOT / "static" / "manifest.webmanifest").read_text(encoding="utf-8"))
    for told in manifest["icons"]:
        if told["type"] == "image/png":
            with Image.open(ROOT / "static" / told["src"]) as picture:
                assert told["sizes"] == "{}x{}".format(*picture.size)
        else:
            assert (ROOT / "static" / told["src"]).is_file()

"""Draws the icons of the installed page from the bars of the mark; run it after the mark has changed."""

from pathlib import Path
from xml.etree import ElementTree as ET

from PIL import Image, ImageDraw

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "static" / "img"
SVG = "{http://www.w3.org/2000/svg}"
SHEET = "#f7f9f5"
FINE = 4
"""Drawn so many times as large, then made small, so that edges are smooth."""
WHOLE, SAFE = 0.86, 0.6
"""The share of the picture that the bars take: whole, and within the circle no mask cuts."""
ICONS = {
    f"icon{kind}-{size}.png": (size, share)
    for kind, share in (("", WHOLE), ("-maskable", SAFE))
    for size in (192, 512)
}


def bars() -> list[dict[str, float]]:
    """Return the bars of the mark: where each stands in a square of 32, how round and how strong it is."""
    drawing = ET.parse(FOLDER / "mark.svg").getroot()  # noqa: S314 - our own file
    names = ("x", "y", "width", "height", "rx", "fill-opacity")
    return [{name: float(bar.get(name, 1)) for name in names} for bar in drawing.iter(f"{SVG}rect")]


def colour() -> str:
    """Return the colour of the mark."""
    drawing = ET.parse(FOLDER / "mark.svg").getroot()  # noqa: S314 - our own file
    return next(str(group.get("fill")) for group in drawing.iter(f"{SVG}g"))


def icon(size: int, share: float) -> Image.Image:
    """Draw the mark on paper: a sheet with round corners, or, under a mask, the paper to its edges."""
    side = size * FINE
    whole = share == WHOLE
    picture = Image.new("RGBA", (side, side), (0, 0, 0, 0) if whole else SHEET)
    if whole:
        corner = round(side * 0.18)
        ImageDraw.Draw(picture).rounded_rectangle((0, 0, side - 1, side - 1), corner, fill=SHEET)
    for bar in bars():
        picture.alpha_composite(_bar(bar, side, share * (0.92 if whole else 1)))
    return picture.resize((size, size), Image.Resampling.LANCZOS).quantize(
        64, method=Image.Quantize.FASTOCTREE
    )


def _bar(bar: dict[str, float], side: int, share: float) -> Image.Image:
    scale, left = side * share / 32, side * (1 - share) / 2
    box = [
        left + scale * at for at in (bar["x"], bar["y"], bar["x"] + bar["width"], bar["y"] + bar["height"])
    ]
    layer = Image.new("RGBA", (side, side), (0, 0, 0, 0))
    strong = round(255 * bar["fill-opacity"])
    fill = (*Image.new("RGB", (1, 1), colour()).tobytes(), strong)
    ImageDraw.Draw(layer).rounded_rectangle(box, bar["rx"] * scale, fill=fill)
    return layer


if __name__ == "__main__":
    for name, (size, share) in ICONS.items():
        icon(size, share).save(FOLDER / name, optimize=True)

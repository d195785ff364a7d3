"""Which calculators stand on the water bench, on which shelf, with their methods and cautions."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.core.cautions import Caution
from app.queries.bench.answers import Table
from app.queries.bench.salt import STRENGTHS


@dataclass(frozen=True, slots=True)
class Calculator:
    """One calculator in plain words; ``example`` is an address with every figure filled in."""

    key: str
    sign: str
    title: str
    lead: str
    methods: tuple[str, ...]
    example: str
    example_words: str
    cautions: tuple[Caution, ...] = ()
    reference: Table | None = None


@dataclass(frozen=True, slots=True)
class Shelf:
    """Calculators that belong together."""

    title: str
    calculators: tuple[Calculator, ...]


SALT_MATES = Caution(
    "Salt harms plants, snails and shrimp, and many soft-water tank mates such as catfish and tetras. Move "
    "them first. Dissolve it beforehand, and never pour it on the fish.",
    "Salt is not for all",
)
SALTY_WASTE = Caution(
    "This page reckons plain salt only. For a medicine the label comes first, then local law and a vet. "
    "Salted or treated water goes down the drain, never into a pond or stream.",
    "Medicines and waste",
    "note",
)
SALT_CAUTIONS = (SALT_MATES, SALTY_WASTE)
PURE = Caution(
    "Use salts sold as food grade or pure, whose formula and crystal water are on the label. Weigh on a "
    "scale that shows tenths of a gram.",
    "Pure salts",
    "note",
)
KIT = Caution("A test kit's colour is good to a step of its card, and the result no better.", "Kits", "note")
LABEL_FIRST = Caution(
    "If the label's directions and this figure differ, go by the label.", "The label comes first", "note"
)
NO_RELEASE = Caution(
    "Never release fish, or pour their water, into ponds or streams; local law may forbid it.",
    "Wild waters",
    "note",
)
NO_SHELLS = Caution(
    "Leave the egg shells behind when you feed, and rinse the salt off. What is not eaten fouls the water.",
)

SALT = Shelf(
    "Salt",
    (
        Calculator(
            "salt",
            "g/L",
            "Salt to a target",
            "How many grams, and about how many spoons, bring the water to a strength.",
            ("salt",),
            "water=10+gal&now=0&target=2.4+g/L",
            "2.4 g/L in 10 gal",
            SALT_CAUTIONS,
            STRENGTHS,
        ),
        Calculator(
            "salt-top-up",
            "+ g",
            "Salt after a water change",
            "What a change took out, so that the strength stays.",
            ("salt", "mixing"),
            "water=10+gal&before=2.4+g/L&change=30+%25&source=0",
            "30 % changed at 2.4 g/L in 10 gal",
            SALT_CAUTIONS,
            STRENGTHS,
        ),
        Calculator(
            "salt-strength",
            "tbsp",
            "How strong is it",
            "What so many grams or spoons of salt make of the water.",
            ("salt",),
            "water=10+gal&amount=1+tbsp&now=0",
            "1 tbsp in 10 gal",
            SALT_CAUTIONS,
            STRENGTHS,
        ),
        Calculator(
            "gravity",
            "SG",
            "Specific gravity and salinity",
            "What a hydrometer shows, in grams, whatever temperature its scale was made for.",
            ("seawater",),
            "shown=SG+1.003&temperature=76+F&reference=25+C",
            "SG 1.003 at 76 F",
        ),
    ),
)
CHANGES = Shelf(
    "Water changes and hardness",
    (
        Calculator(
            "changes",
            "½ × 7",
            "Series of changes",
            "What so many changes leave of anything dissolved, or how many it takes.",
            ("mixing",),
            "change=50+%25&times=7",
            "seven half changes",
        ),
        Calculator(
            "blend",
            "1 + 2",
            "Blend two waters",
            "How much of each meets the GH or KH you want.",
            ("hardness", "mixing"),
            "water=40+L&first_gh=16&first_kh=12&second_gh=0&second_kh=0&gh=10",
            "GH 10 from tap water of 16 and soft water",
        ),
        Calculator(
            "minerals",
            "°dH",
            "Minerals for soft water",
            "Grams of pure salts that give GH and KH, by their formulas alone.",
            ("hardness",),
            "water=20+L&now_gh=0&now_kh=0&wish_gh=10&wish_kh=5",
            "GH 10 and KH 5 in 20 L of soft water",
            (PURE,),
        ),
        Calculator(
            "label",
            "10 g",
            "Minerals by the label",
            "How much of a ready-made product, from the figure on its own label.",
            ("hardness",),
            "water=20+L&label_mass=10+g&label_water=40+L&label_gh=2&rise=6",
            "a label that says 10 g in 40 L raise GH by 2",
            (LABEL_FIRST,),
        ),
    ),
)
AIR = Shelf(
    "What fish breathe",
    (
        Calculator(
            "ammonia",
            "NH₃",
            "Un-ionised ammonia",
            "How much of what the kit shows is poisonous, and what that means.",
            ("ammonia",),
            "shown=1&kit=nitrogen&ph=8&temperature=24+C",
            "1 mg/L at pH 8 and 24 °C",
            (KIT,),
        ),
        Calculator(
            "nitrate",
            "NO₃",
            "Nitrate and the weekly change",
            "When the ceiling is reached, and the smallest weekly change that keeps under it.",
            ("nitrate",),
            "water=20+gal&now=25&kit=no3&earlier=15&days_ago=10&feed=0.8+g&protein=45+%25",
            "25 mg/L today, 15 ten days ago",
            (KIT,),
        ),
        Calculator(
            "oxygen",
            "O₂",
            "Oxygen at saturation",
            "How much oxygen water can hold when it is warm, salted or high up.",
            ("oxygen",),
            "temperature=82+F&salinity=2.4+g/L&height=5000+ft&measured=5.5",
            "82 F at 5,000 ft",
        ),
    ),
)
FISH = Shelf(
    "New fish and live food",
    (
        Calculator(
            "acclimation",
            "days",
            "Acclimation in steps",
            "From the water they were raised in to yours, never too much in a day.",
            ("acclimation",),
            "from_salinity=8+ppt&from_gh=20&from_temperature=28+C&to_salinity=0&to_gh=9&to_temperature=25+C",
            "brackish farm stock, 8 ppt, to fresh water",
            (NO_RELEASE,),
        ),
        Calculator(
            "brine-shrimp",
            "hours",
            "Brine shrimp on time",
            "When to start the hatch and with how much, to have nauplii when fry are there.",
            ("brine_shrimp",),
            "nauplii=50000&temperature=26+C",
            "50000 nauplii at 26 °C",
            (NO_SHELLS,),
        ),
    ),
)
SHELVES = (SALT, CHANGES, AIR, FISH)
CALCULATORS: Mapping[str, Calculator] = MappingProxyType(
    {each.key: each for shelf in SHELVES for each in shelf.calculators}
)

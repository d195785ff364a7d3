"""How the birth models are described on the Methods page and in a forecast's reasons."""

from app.core.method import Method

_REZNICK = "Reznick et al. (2004), Nature 431:1095: individual records of 210 guppies at 26 °C"
_VONDRACEK = "Vondracek, Wurtsbaugh & Cech (1988), Env. Biol. Fish. 21:45: mosquitofish at 20, 25 and 30 °C"

BENCHMARK = (
    "Tried on 3,768 intervals of 205 published guppies, three or more of her own known and skipped "
    "cycles not scored: off by 1.6 days on average; smoothing her intervals by 1.7, always 26 days by 3.7."
)
"""Read on the individual records, which are not shipped; tests/core/births/test_published has the details."""

METHOD = Method(
    key="births",
    title="When a dam drops next",
    words=(
        "The interval between drops is forecast, not gestation.",
        "Days are counted on a clock that runs faster in warm water, by the tank's own readings.",
        "Her usual interval is learnt from the species, your fishroom, her line and herself.",
        "Her recent intervals weigh most, and they lengthen a little with every brood.",
        "One cycle in fifty is skipped, which doubles the interval.",
        "A long gap is read as a skipped cycle, unless her whole record says that she is slow.",
        "No drop so far moves the dates back, and lowers the chance that she carries.",
        "It means none before this morning: today is still possible.",
        "A virgin's first brood is counted from first exposure, and takes longer than an interval.",
        "A bought dam may be anywhere in an interval, or not carrying.",
        "Species that store no sperm need a male after every drop.",
        "Least killifish release fry every few days: a rate is given, and a long silence counts.",
        "The 80 % window holds the drop four times in five, by whole days.",
        BENCHMARK,
    ),
    formulas=(
        "clock: dθ = 1.48^((T − 25) / 10) dt, T held to 18–31 °C; ln Q10 ~ N(0.39, 0.15²)",
        "level: dam ~ N(line, dam²), line ~ N(fishroom, strain²/2), fishroom ~ N(species, strain²/2)",
        "own intervals: y ~ N(level, (0.94 within)²), level moves by N(drift, (0.30 within)²) a brood",
        "drift: +0.25 d a brood, for a 26-day interval",
        "a gap of k cycles: ln likelihood (k − 1) ln 0.02 + ln N(y/k) − ln k, summed over her record",
        "wait: F(x) = Σ p_k Φ((x/k − m)/s), k = 1, 2, 3 cycles, p = 0.98, 0.0196, 0.0004",
        "on dates: P(T ≤ d) = F(θ(d) + rate(d)/2), then P(T ≤ d | T ≥ today)",
        "bought, phase unknown: density (1 − F(x)) / E[X]",
        "chance of carrying: p S / (p S + 1 − p), S = P(T ≥ today)",
        "stored sperm: fertility 0.1^((days alone / cap)²)",
        "brood size: ln N ~ N(ln(adult median · (length / 0.84 Linf)⁴), 0.5²)",
    ),
    sources=(
        _REZNICK,
        _VONDRACEK,
        "Evans & Magurran (2000), PNAS 97:10074: first mating to first brood",
        "Koya et al. (2000), Fisheries Sci. 66:63: no breeding below 18 °C",
        "Gelman et al., Bayesian Data Analysis, 3rd ed.: conjugate normal updating",
        "judgement: split of strain variance, chances for bought dams, stored-sperm curve",
    ),
    caution=(
        "One species and one pair of temperatures carry the clock; below 20 and above 30 °C it is "
        "extrapolated, below 18 and above 31 °C no date is given. Days under 12.5 hours may stop breeding."
    ),
)

CARRYING = Method(
    key="carrying",
    title="Whether she is carrying",
    words=(
        "The chance starts at 95 % for a dam with males, and falls as stored sperm ages.",
        "A bought dam starts at 90, 60 or 10 %: has been, may have been, has not been with males.",
        "Each day without a drop counts against it, the more the later it gets.",
        "Below one half, or past the 97.5 % point: not carrying, drop missed or eaten, or wait?",
    ),
    formulas=("p' = p S(t) / (p S(t) + 1 − p), S(t) = P(T ≥ t)",),
    sources=("Bayes' rule; the starting chances are judgement",),
)

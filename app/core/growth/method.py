"""How growth is modelled, in words, formulas and sources."""

from app.core.method import Method

METHOD = Method(
    key="growth",
    title="Growth of a batch",
    words=(
        (
            "Fish grow fast when young and ever more slowly towards a final length. Their clock is thermal "
            "age: each day counts by how fast the tank's temperature lets them grow."
        ),
        (
            "A batch starts from its species' usual curve, sex by sex, or half of each while unsexed. Length "
            "checks move it, each by the number of fish measured; earlier broods of the line move the start."
        ),
        "With five or more checks over six weeks the data may choose a Gompertz curve, which begins slowly.",
        "The band holds the batch's mean length with 80 % probability; single fish differ by 5 to 10 % more.",
    ),
    formulas=(
        "von Bertalanffy: L = Linf − (Linf − L0) · exp(−K·θ)",
        "Gompertz: L = Linf · exp(−ln(Linf/L0) · exp(−k·θ))",
        "θ = sum over days of the growth multiplier: 0.55, 0.75, 1, 1.08, 1.10 at 20, 22, 25, 28, 30 °C",
        "ln(mean of n fish) ~ Normal(ln L(θ), CV²/n + 0.02²), fish-to-fish CV 8 % until measured",
        "ln L0, ln Linf, ln K ~ Normal(species, 0.07, 0.12, 0.19), wider where published rows are thin",
    ),
    sources=(
        "von Bertalanffy (1938), Human Biology 10:181",
        "Ricker (1979), Fish Physiology VIII:677",
        "Vondracek, Wurtsbaugh & Cech (1988), Env. Biol. Fish. 21:45: growth against temperature",
        "Ursin (1967), Felin (1951), James & Sampath (2003), Reznick et al. (2004): growth series",
        "spread between broods: judgement",
    ),
    caution="Most rows but guppy, mosquitofish, southern platy and swordtail rest on thin published data.",
)

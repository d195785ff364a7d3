"""Subject ``cross``: expected ratios of a cross, and whether a count fits them."""

from collections.abc import Mapping
from typing import Any

from app.cli.reckon.fields import (
    Field,
    choice,
    described,
    either,
    nullable,
    number_field,
    optional,
    text_field,
    whole_field,
)
from app.cli.reckon.shapes import list_of, map_of, object_of, within
from app.cli.reckon.subject import Output, Subject
from app.core.problems import Problem
from app.core.traits.cross import Expected, Parents, expected, phenotypes
from app.core.traits.fit import Group, fits
from app.core.traits.loci import Carried, Dominance, Inheritance, Locus, Sex, carried, written_alleles

ALLELE = text_field(40)
LOCUS = object_of(
    {
        "name": ALLELE,
        "inheritance": choice(*Inheritance),
        "alleles": described(list_of(ALLELE, at_least=1, at_most=20), "each hides those after it"),
        "dominance": described(
            optional(either(text_field(40), list_of(ALLELE, at_least=1)), "complete"),
            "complete, incomplete or codominant; or the dominant allele; or all alleles in their order",
        ),
        "crossing_over": described(
            optional(number_field(0, 0.5), 0.0), "chance that a sex-linked allele changes between X and Y"
        ),
    }
)
GENOTYPE: Field[Any] = nullable(either(text_field(80), list_of(ALLELE, at_most=2)))
PARENT = described(
    map_of(GENOTYPE), 'by locus: ["B", "b"], "B/b" or "Bb"; one allele on a male\'s X or Y; null where none'
)
ACCEPTS = object_of(
    {
        "loci": list_of(LOCUS, at_least=1, at_most=12),
        "sire": PARENT,
        "dam": PARENT,
        "observed": described(
            optional(map_of(either(whole_field(), map_of(whole_field())), at_least=1)),
            'counts by phenotype, or {"male": {…}, "female": {…}}',
        ),
    }
)
FRACTIONS = map_of(number_field(0, 1))
RETURNS = object_of(
    {
        "expected": described(
            object_of({"male": FRACTIONS, "female": FRACTIONS, "all": FRACTIONS}),
            "fractions by phenotype; what shows at each locus, with a space between",
        ),
        "test": nullable(object_of({"method": ALLELE, "p_value": number_field(0, 1), "why": text_field()})),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Cross, and test what was counted."""
    loci = [_locus(row, index) for index, row in enumerate(item["loci"])]
    _check_names(item, loci)
    parents = [
        Parents(locus, _carried(item, locus, Sex.MALE), _carried(item, locus, Sex.FEMALE)) for locus in loci
    ]
    found = expected(parents)
    groups = {"male": found.sons, "female": found.daughters, "all": found.all}
    return {"expected": groups, "test": _test(item["observed"], found, phenotypes(loci))}


def _locus(row: dict[str, Any], index: int) -> Locus:
    with within(f"loci[{index}]"):
        dominance, alleles = _dominance(row["dominance"], row["alleles"])
        inheritance = Inheritance(row["inheritance"])
        return Locus(row["name"], inheritance, tuple(alleles), dominance, row["crossing_over"])


def _dominance(given: str | list[str], alleles: list[str]) -> tuple[Dominance, list[str]]:
    if isinstance(given, list):
        if sorted(given) != sorted(alleles):
            raise Problem(f"the order must name each of {', '.join(alleles)} once", "dominance")
        return Dominance.COMPLETE, given
    if given in alleles:
        return Dominance.COMPLETE, [given, *(allele for allele in alleles if allele != given)]
    if given not in set(Dominance):
        known = ", ".join([*Dominance, *alleles])
        raise Problem(f"{given!r} is not known; give one of: {known}", "dominance")
    return Dominance(given), alleles


def _check_names(item: dict[str, Any], loci: list[Locus]) -> None:
    names = [locus.name for locus in loci]
    for parent in ("sire", "dam"):
        for name in item[parent]:
            if name not in names:
                raise Problem(f"no such locus; known: {', '.join(names)}", f"{parent}.{name}")


def _carried(item: dict[str, Any], locus: Locus, sex: Sex) -> Carried:
    parent = "sire" if sex is Sex.MALE else "dam"
    given = item[parent].get(locus.name)
    with within(parent):
        alleles = written_alleles(given, locus) if isinstance(given, str) else tuple(given or ())
        return carried(locus, sex, alleles)


def _test(observed: Mapping[str, Any] | None, found: Expected, known: tuple[str, ...]) -> Output | None:
    if observed is None:
        return None
    by_sex = [isinstance(count, dict) for count in observed.values()]
    if not any(by_sex):
        groups = [_group(observed, found.all, known, "observed")]
    elif all(by_sex) and observed.keys() <= {"male", "female"}:
        sexes = {"male": found.sons, "female": found.daughters}
        groups = [_group(observed[sex], sexes[sex], known, f"observed.{sex}") for sex in observed]
    else:
        raise Problem('give counts by phenotype, or {"male": {…}, "female": {…}}, not both', "observed")
    fit = fits(groups)
    return {"method": fit.method, "p_value": fit.p_value, "why": fit.why}


def _group(
    counts: Mapping[str, int], fractions: Mapping[str, float], known: tuple[str, ...], where: str
) -> Group:
    strange = next((name for name in counts if name not in known), None)
    if strange is not None:
        raise Problem(f"{strange!r} cannot show at these loci; known: {', '.join(known)}", where)
    names = list(dict.fromkeys([*fractions, *counts]))
    return Group(
        tuple(counts.get(name, 0) for name in names), tuple(fractions.get(name, 0.0) for name in names)
    )


SUBJECT = Subject("cross", ACCEPTS, RETURNS, run)

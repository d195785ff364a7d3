"""How traits are passed on: loci and alleles, expected ratios of a cross, and whether a count fits."""

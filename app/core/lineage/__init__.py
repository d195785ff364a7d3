"""Who is related to whom: pedigrees, inbreeding, kinship, effective size, possible sires."""

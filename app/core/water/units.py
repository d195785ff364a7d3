"""Constants that turn one unit of water chemistry into another, each from its definition."""

from app.core.water.atoms import molar_mass

CACO3, CAO = molar_mass("CaCO3"), molar_mass("CaO")

# DIN 38409-6: 1 °dH is 10 mg/L as CaO, that is 0.1783 mmol/L of Ca + Mg.
MMOL_PER_DH = 10.0 / CAO
MG_L_CACO3_PER_DH = MMOL_PER_DH * CACO3
MEQ_PER_DKH = 2.0 * MMOL_PER_DH

GRAIN_MG = 64.79891  # exact: 7,000 grains are one avoirdupois pound (NIST SP 811, App. B)
US_GALLON_L = 3.785411784  # exact: 231 cubic inches (NIST SP 811, App. B)
IMPERIAL_GALLON_L = 4.54609  # exact by definition (NIST SP 811, App. B)
GRAIN_PER_US_GALLON_MG_L = GRAIN_MG / US_GALLON_L
GRAIN_PER_IMPERIAL_GALLON_MG_L = GRAIN_MG / IMPERIAL_GALLON_L

# The ion's weight for each gram of its nitrogen.
NH3_PER_N = molar_mass("NH3") / molar_mass("N")
NH4_PER_N = molar_mass("NH4") / molar_mass("N")
NO2_PER_N = molar_mass("NO2") / molar_mass("N")
NO3_PER_N = molar_mass("NO3") / molar_mass("N")

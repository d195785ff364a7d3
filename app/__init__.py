"""Broodwater: records and reckoning for a fishroom that breeds livebearers."""

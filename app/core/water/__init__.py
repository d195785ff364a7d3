"""The chemistry of the tank: mixing, salt, hardness, nitrogen, oxygen, acclimation, live food."""

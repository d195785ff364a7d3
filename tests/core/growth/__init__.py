"""Growth, checked against published series and simulated broods."""

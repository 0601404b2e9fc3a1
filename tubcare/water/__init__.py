"""Water chemistry: equilibrium, balance, dosing, decay, liner exposure. Pure."""

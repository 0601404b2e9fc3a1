"""Checks of the energy formulas against computed and published values."""

"""Checks of the energy engine."""

"""Maintenance scheduler for outdoor chilled tubs."""

__version__ = "0.1.0"

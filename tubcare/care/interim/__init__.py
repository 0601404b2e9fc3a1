"""The first engine, to be replaced."""

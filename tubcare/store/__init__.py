"""The only door to the database."""

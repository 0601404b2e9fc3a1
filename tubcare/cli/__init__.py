"""The same services in a terminal."""

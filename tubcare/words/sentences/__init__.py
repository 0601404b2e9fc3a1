"""Sentences: why something is due, what a rule means, what went wrong, what was done."""

"""One module for each step, never edited after release."""

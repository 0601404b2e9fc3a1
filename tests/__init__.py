"""Tests of tubcare."""

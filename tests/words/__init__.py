"""Tests of sentences, numbers, money and dates."""

"""Sentences, numbers, money and dates for people."""

"""Tests of reminders."""

"""Derives reminders from the store and delivers each once."""

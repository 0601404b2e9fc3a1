"""When upkeep is due: triggers, occurrences, seasons, care plan. Pure."""

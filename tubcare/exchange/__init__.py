"""Files that leave or enter the logbook: CSV, backup, restore."""

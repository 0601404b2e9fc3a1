"""Random histories over all use cases together: the rules, one file for each kind of work."""

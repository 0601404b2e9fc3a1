"""Steps that bring an older logbook to the current shape; they never import today's tables."""

"""Weather models fitted to a record."""

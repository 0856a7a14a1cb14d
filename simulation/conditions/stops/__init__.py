"""What weather, heat and ground do to work: stops, slower rates, lost hours."""

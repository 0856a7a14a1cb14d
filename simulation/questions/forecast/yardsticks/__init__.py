"""Is the answer of the right size? Handbooks and published rates beside the simulation."""

"""How a forecast changes as the work goes on: then and now, why, and what would help."""

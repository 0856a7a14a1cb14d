"""Records of weather: how they are written, what their columns hold, and what is wrong with them."""

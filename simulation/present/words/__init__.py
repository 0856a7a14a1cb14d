"""How numbers, changes, pallets and trials are worded, the same wherever they are told of."""

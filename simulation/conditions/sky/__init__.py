"""Weather hour by hour, drawn from each kind of model or taken from a record."""

"""From TOML to a checked scenario, and from one scenario to others by changes of its keys."""

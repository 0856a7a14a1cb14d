"""The tables of a scenario, each a frozen model with its defaults, their meaning and origin."""

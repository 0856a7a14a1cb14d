"""Every step of one run."""

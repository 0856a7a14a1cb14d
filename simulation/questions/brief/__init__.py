"""All that a commander reads of one scenario, on one page and on paper."""

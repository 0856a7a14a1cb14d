"""Quantiles, chances, paired differences, sequential intervals, first-order sensitivity."""

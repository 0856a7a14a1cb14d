"""Quantities with a unit: read, snapped to rows, and told in the reader's units."""

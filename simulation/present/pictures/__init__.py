"""What pictures have in common: sizes and greys, letters, axes, labels, the field to scale."""

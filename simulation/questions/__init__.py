"""One folder for each question that may be asked."""

"""The site log: an empty one to be filled in, and whether a kept one is sound."""

"""A field in use is damaged and repaired: luck of repairs, and the queue of a stay."""

"""What only a trial run or a second look at a sound scenario shows."""

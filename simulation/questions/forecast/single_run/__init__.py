"""What one run tells that many cannot: its timeline, its mats, its work after the last row."""

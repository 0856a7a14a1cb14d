"""What a site log teaches of the levels, and the likelihood by which it does."""

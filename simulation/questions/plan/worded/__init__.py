"""The best plan in words: headline, changes, people, other milestones, how sure it is."""

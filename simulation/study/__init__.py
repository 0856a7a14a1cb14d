"""What several questions share: outcomes, deadlines, calendar, people, use, causes of time."""

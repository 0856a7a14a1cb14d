"""What do calendar, sun and weather take from each kind of work?"""

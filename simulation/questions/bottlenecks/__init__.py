"""What holds the work up, and what would help?"""

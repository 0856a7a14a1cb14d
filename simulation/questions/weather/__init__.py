"""What does a record of weather say, and what is fitted to it?"""

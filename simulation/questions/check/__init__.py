"""What is right and wrong in a scenario?"""

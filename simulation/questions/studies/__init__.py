"""Which studies does a folder keep?"""

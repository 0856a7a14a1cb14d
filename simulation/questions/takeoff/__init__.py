"""What must be ordered, brought and dug?"""

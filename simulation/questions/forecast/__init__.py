"""When is the field ready, and how sure is that?"""

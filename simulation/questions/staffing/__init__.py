"""Which is the smallest team that meets the deadline?"""

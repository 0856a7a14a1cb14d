"""Which unknown matters most?"""

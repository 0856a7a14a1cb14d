"""How long does it take to take the field up, and what comes back?"""

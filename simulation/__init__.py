"""keystrip: how many days until an airfield of interlocking aluminium mats is ready, and how sure is that?"""

"""What does it cost the whole to open part of it early?"""

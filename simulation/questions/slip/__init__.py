"""What does it cost if something comes late?"""

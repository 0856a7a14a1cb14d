"""How long is there no field, if one is taken up and laid again elsewhere?"""

"""The example shop: Drumlin & Daughter, invented, with some forty past panels and six jobs at the bench.

Everything happens through the actions that the pages use, at the moment it would have happened, so every figure on
every page is worked out. All dates count back from today; the same day always gives the same shop.
"""

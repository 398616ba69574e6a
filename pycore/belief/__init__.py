"""One belief about this eye: a joint Gaussian over what is not known.

Biometry sets it, every reading sharpens it, every decision is a prediction from it.
"""

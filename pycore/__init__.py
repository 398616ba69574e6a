"""Guyline's core: planning and titrating flanged intrascleral lens fixation.

Pure Python. Calculations take and return plain numbers; :mod:`pycore.api` is the
only door for callers that speak JSON.
"""

__version__ = "0.1.0"

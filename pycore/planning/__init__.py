"""Decisions made from a belief: how much haptic to cut, and which reading to take next."""

"""Corrections of measurements before a formula sees them: each says what it did and why."""

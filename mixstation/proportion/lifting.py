"""What one person should lift."""

LIFT_LIMIT_MG = 23_000_000
"""A load above this is too much for one person even in the best posture, milligrams; less when twisting or reaching.

Source: NIOSH Publication 94-110, revised lifting equation: load constant 23 kg (51 lb).
"""

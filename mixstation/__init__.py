"""Live mixing guidance at the bucket for thin glass-fibre-reinforced concrete."""

__version__ = "0.1.0"

"""Figures known from elsewhere, each beside what moldgen reckons: see ../validation.py."""

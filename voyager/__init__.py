"""voyager: plan, odds and warmth for life on a solar-electric boat."""

__version__ = "0.1.0"

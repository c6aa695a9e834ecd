"""Job packets for sealed-system refrigeration work: YAML in, a printable packet out."""

__version__ = "0.1.0"

"""The nouns: frozen dataclasses that every later stage reads and none changes."""

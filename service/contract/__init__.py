"""Request and answer schemas, one module a group of paths."""

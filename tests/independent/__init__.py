"""A second calculation of the whole static method, written apart from the engine and sharing no code with it."""

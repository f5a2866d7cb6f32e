"""Pure mechanics of fixings in concrete: no web, no files, no clock, no rulebook. Units inside are N, mm and MPa."""

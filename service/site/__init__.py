"""What a site adds to calculation: tests on site and what they prove."""

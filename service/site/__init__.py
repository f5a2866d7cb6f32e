"""What a crew needs beside calculation: labels, load models, pulls, setting sheets and checks of what was built."""

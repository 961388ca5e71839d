"""Long runs that try to break the program: `python3 dev.py soak`."""

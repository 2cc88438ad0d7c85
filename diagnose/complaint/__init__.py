"""A complaint: its file read, its words understood."""

"""What people see: terminal text, pages, reports, data, the console. All read a finished diagnosis."""

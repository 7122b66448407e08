"""Reports read back: compared with a new calculation, with another report, with another boat."""

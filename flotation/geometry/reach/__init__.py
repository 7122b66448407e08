"""How far foam gets from its holes, along the inside of a cavity, and where further holes help."""

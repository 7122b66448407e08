"""The hand-outs: they lay out what was calculated and compute nothing."""

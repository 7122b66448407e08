"""The version of this package; the hand-outs print it."""

VERSION = "0.1.0"

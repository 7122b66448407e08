"""Meshes only: no boat, no foam, no rule."""

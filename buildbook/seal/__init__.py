"""Manifest, seal, issue chain, and putting an issue in place.

Nothing is loaded here: verify starts with the digest code alone.
"""

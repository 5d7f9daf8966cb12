"""Executed steps in a user's words: nouns, counts, sentences, checks."""

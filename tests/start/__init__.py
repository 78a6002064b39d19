"""Tests of the two self-sufficient commands."""

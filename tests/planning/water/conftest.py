"""Puts this folder on the import path, so that tests in it find the watered bed."""

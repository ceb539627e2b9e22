"""Puts this folder on the import path, so that tests below it find the made holding."""

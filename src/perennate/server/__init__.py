"""The holding on screen: the store, the planning behind it, and the pages."""

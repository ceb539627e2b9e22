"""The store: a holding, its plans and everything that was changed, as rows."""

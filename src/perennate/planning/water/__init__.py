"""Water in the plan: what each planting asks, what its ground holds, when to water and from what.

`season_water` makes it all; it is told the plantings and knows nothing of how they were found.
"""

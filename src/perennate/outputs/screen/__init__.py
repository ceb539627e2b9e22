"""Pictures for the screen as plain numbers and words; templates only draw them.

Every picture is a frozen dataclass made by a pure function. Lengths are units of the picture's own
viewBox (a pixel where it is not scaled), rounded to a tenth, y downwards. Each picture carries a
title, a sentence that says the same, and a table that holds what it shows.
"""

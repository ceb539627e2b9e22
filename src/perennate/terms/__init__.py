"""The three small things that every floor speaks of: an estimate, a problem, a text."""

from perennate.terms.estimate import Basis, Estimate
from perennate.terms.problem import BadInput, Problem
from perennate.terms.text import Text, text

__all__ = ["BadInput", "Basis", "Estimate", "Problem", "Text", "text"]

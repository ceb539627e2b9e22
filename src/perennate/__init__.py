"""Perennate: a season's plantings, jobs and needs from a holding worked by hand."""

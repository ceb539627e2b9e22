"""Planning in the background: runs that are asked for, watched, stopped and found again."""

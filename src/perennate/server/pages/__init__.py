"""The pages: what is asked for is fetched, put into words and drawn; nothing is computed here."""

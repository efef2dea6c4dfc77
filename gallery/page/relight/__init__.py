"""The light of each lamp as pictures for a page, whose script sums them."""

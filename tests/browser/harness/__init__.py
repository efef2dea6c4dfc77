"""What the tests in a browser share: the browser itself, visits, the states of a page, what an auditor measures."""

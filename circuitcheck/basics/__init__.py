"""Words that every room shares; imports nothing else of the package."""

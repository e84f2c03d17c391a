"""Independent values for the reference tests, each from a numerical method that the crate does not use."""

"""The package is tried where it is installed: by its own `.ci/run`, and in tests/unit/test_fresh_environment.py."""

collect_ignore = ["duckbill"]

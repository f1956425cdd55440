"""Reports: each form a pure drawing of a record."""

"""Pure functions on arrays: geometry, gas, statics, roots, reactions. No records here."""

//! Many sites against the exact search over few.

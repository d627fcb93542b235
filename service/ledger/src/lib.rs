//! The append-only log on disk; knows bytes and positions, not skulls.

//! The bench: command line, outbox and rendering.

//! End to end, published values, crash and power cut, load.

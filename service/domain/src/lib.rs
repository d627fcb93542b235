//! What a skull's way through the shop is, and what follows from what was said; pure.

//! The shop: recorder, doors and readings; the program burrline-shop.

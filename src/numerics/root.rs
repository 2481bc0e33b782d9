//! Roots of one equation: bracketed Brent, and Newton kept inside a bracket.

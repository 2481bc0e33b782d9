//! A mistake with its place in the file.

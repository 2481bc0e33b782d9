//! From the file's shapes to the model, all mistakes at once.

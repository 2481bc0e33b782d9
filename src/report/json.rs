//! Reports as one JSON object.

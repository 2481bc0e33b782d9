//! Quantities as text, SI or US.

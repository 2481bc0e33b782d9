//! Air-fuel ratio, heating values, Wobbe index and flammability limits from composition.

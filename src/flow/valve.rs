//! Control valves by IEC 60534-2-1.

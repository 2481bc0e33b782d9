//! How full a tank may be, and when it becomes liquid-full.

//! What a tank can deliver at its temperature, and how hot it may get.

//! What can stop a command, and its exit code.

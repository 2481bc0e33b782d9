//! Arguments of all commands.

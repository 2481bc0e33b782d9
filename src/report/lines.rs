//! Lines that a reader writes in a file.

/// Lines that a reader copies into a file: no writer breaks them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines {
    /// What stands above them.
    pub above: String,
    /// Each line, and a remark that stands behind it as a comment where there is room.
    pub lines: Vec<(String, String)>,
    /// How many more belong here and stand elsewhere.
    pub more: usize,
}

impl Lines {
    /// As lines of a file: what stands above them, and the remarks, as comments.
    pub(super) fn as_text(&self) -> String {
        let of = match self.more {
            0 => String::new(),
            more => format!(" ({} of {})", self.lines.len(), self.lines.len() + more),
        };
        let lines = self.lines.iter().map(|(line, remark)| {
            let gap = if remark.is_empty() { "" } else { "  # " };
            format!("{line}{gap}{remark}\n")
        });
        format!("# {}{of}\n{}", self.above, lines.collect::<String>())
    }
}

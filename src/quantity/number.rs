//! The number at the front of a quantity: decimal, exponent, inch fraction.

use super::QuantityError;

/// A text split into its number and what follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Split<'a> {
    /// The number, always finite.
    pub(super) value: f64,
    /// How it was written.
    pub(super) number: &'a str,
    /// The unit behind it, trimmed; may be empty.
    pub(super) unit: &'a str,
}

/// Splits `"1 1/2 in"` into 1.5 and `"in"`.
///
/// # Errors
/// No number, a number that is not finite, a comma, or digits that make no number.
pub(super) fn split(text: &str) -> Result<Split<'_>, QuantityError> {
    let trimmed = text.trim();
    let (sign, body) = match trimmed.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (
            1.0,
            trimmed.strip_prefix('+').unwrap_or(trimmed).trim_start(),
        ),
    };
    if not_finite_word(body) {
        return Err(QuantityError::NotFinite {
            text: text.to_owned(),
        });
    }
    let malformed = || QuantityError::MalformedNumber {
        text: text.to_owned(),
    };
    let (first, rest) = decimal(body);
    if first.is_empty() {
        return Err(QuantityError::MissingNumber {
            text: text.to_owned(),
        });
    }
    if rest.starts_with(',') {
        return Err(QuantityError::Comma {
            text: text.to_owned(),
        });
    }
    let first: f64 = first.parse().map_err(|_| malformed())?;
    let (magnitude, rest) = fraction(first, rest).unwrap_or((first, rest));
    let unit = rest.trim();
    if unit.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return Err(malformed());
    }
    let value = sign * magnitude;
    if !value.is_finite() {
        return Err(QuantityError::NotFinite {
            text: text.to_owned(),
        });
    }
    let number = trimmed[..trimmed.len() - rest.len()].trim_end();
    Ok(Split {
        value,
        number,
        unit,
    })
}

/// Does the text begin with a word for "no number" or "without end"?
fn not_finite_word(body: &str) -> bool {
    let word: String = body
        .chars()
        .take_while(|c| c.is_alphabetic())
        .collect::<String>()
        .to_lowercase();
    matches!(word.as_str(), "nan" | "inf" | "infinity") || body.starts_with('∞')
}

/// Digits with point and exponent at the front, and the rest.
fn decimal(s: &str) -> (&str, &str) {
    let bytes = s.as_bytes();
    let digits_from = |mut i: usize, point: bool| {
        while i < bytes.len() && (bytes[i].is_ascii_digit() || (point && bytes[i] == b'.')) {
            i += 1;
        }
        i
    };
    let mut end = digits_from(0, true);
    if end > 0 && matches!(bytes.get(end), Some(b'e' | b'E')) {
        let signed = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent_end = digits_from(end + 1 + signed, false);
        if exponent_end > end + 1 + signed {
            end = exponent_end;
        }
    }
    s.split_at(end)
}

/// `whole` followed by `/b`, ` a/b` or `-a/b`: the sum, and the rest behind it.
fn fraction(whole: f64, rest: &str) -> Option<(f64, &str)> {
    let over = |s: &str| -> Option<(f64, usize)> {
        let (digits, _) = decimal(s);
        let value: f64 = digits.parse().ok()?;
        (value > 0.0).then_some((value, digits.len()))
    };
    if let Some(below) = rest.strip_prefix('/') {
        let (denominator, n) = over(below)?;
        return Some((whole / denominator, &below[n..]));
    }
    let part = rest
        .trim_start()
        .strip_prefix('-')
        .unwrap_or(rest.trim_start());
    let (numerator, n) = over(part)?;
    let below = part[n..].strip_prefix('/')?;
    let (denominator, n) = over(below)?;
    Some((whole + numerator / denominator, &below[n..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> f64 {
        split(text).expect("a number").value
    }

    #[test]
    fn decimals_exponents_and_inch_fractions_are_read() {
        for (text, want, unit) in [
            ("3 barg", 3.0, "barg"),
            ("3barg", 3.0, "barg"),
            ("-10 degC", -10.0, "degC"),
            ("−10 degC", -10.0, "degC"),
            ("1e5 Pa", 1e5, "Pa"),
            ("1.5e-3m", 1.5e-3, "m"),
            (".5 mm", 0.5, "mm"),
            ("1/16 in", 0.0625, "in"),
            ("1 1/2 in", 1.5, "in"),
            ("1-1/2\"", 1.5, "\""),
            ("35%", 35.0, "%"),
            ("7", 7.0, ""),
        ] {
            assert!(
                (value(text) - want).abs() < 1e-15 * want.abs().max(1.0),
                "{text}"
            );
            assert_eq!(split(text).expect("a number").unit, unit, "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_refused_by_kind() {
        use QuantityError as E;
        assert!(matches!(split("mm"), Err(E::MissingNumber { .. })));
        assert!(matches!(split(""), Err(E::MissingNumber { .. })));
        assert!(matches!(split("1,2 mm"), Err(E::Comma { .. })));
        assert!(matches!(split("1.2.3 mm"), Err(E::MalformedNumber { .. })));
        assert!(matches!(split("1 2 mm"), Err(E::MalformedNumber { .. })));
        for text in [
            "NaN mm",
            "inf bara",
            "-inf K",
            "+Infinity s",
            "∞ m",
            "1e999 m",
        ] {
            assert!(matches!(split(text), Err(E::NotFinite { .. })), "{text}");
        }
    }
}

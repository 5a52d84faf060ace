//! A line into cells, a cell into a number.

use super::column_map::{DecimalMark, Delimiter};

/// The delimiter `line` shows, if it was to be detected.
pub(super) fn settled(delimiter: Delimiter, decimal: DecimalMark, line: &str) -> Delimiter {
    if delimiter != Delimiter::Detect {
        return delimiter;
    }
    let candidates = if decimal == DecimalMark::Comma { "\t;" } else { "\t;," };
    let found = candidates.chars().find(|&candidate| line.contains(candidate));
    found.map_or(Delimiter::Blanks, Delimiter::Character)
}

/// The cells of a line, blanks and quotes around each taken off.
///
/// A delimiter within double quotes does not end a cell; a quote that is never closed reaches to
/// the end of the line.
pub(super) fn split(line: &str, delimiter: Delimiter) -> impl Iterator<Item = &str> {
    let (is_delimiter, runs): (fn(char, char) -> bool, bool) = match delimiter {
        Delimiter::Character(_) => (|found, wanted| found == wanted, false),
        Delimiter::Detect | Delimiter::Blanks => (|found, _| found == ' ' || found == '\t', true),
    };
    let wanted = if let Delimiter::Character(wanted) = delimiter { wanted } else { ' ' };
    let mut rest = Some(if runs { line.trim_matches([' ', '\t']) } else { line });
    std::iter::from_fn(move || {
        let text = rest?;
        let mut quoted = false;
        let end = text.char_indices().find(|&(_, character)| {
            quoted ^= character == '"';
            !quoted && is_delimiter(character, wanted)
        });
        let cell = if let Some((place, character)) = end {
            let after = &text[place + character.len_utf8()..];
            rest = Some(if runs { after.trim_start_matches([' ', '\t']) } else { after });
            &text[..place]
        } else {
            rest = None;
            text
        };
        Some(unquoted(cell.trim()))
    })
}

fn unquoted(cell: &str) -> &str {
    let inner = cell.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    inner.map_or(cell, str::trim)
}

/// The number in a cell; `None` if it is not one. May be infinite or "not a number".
pub(super) fn number(cell: &str, decimal: DecimalMark) -> Option<f64> {
    match decimal {
        DecimalMark::Point => cell.parse().ok(),
        DecimalMark::Comma if cell.contains('.') => None,
        DecimalMark::Comma => cell.replacen(',', ".", 1).parse().ok(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(line: &str, delimiter: Delimiter, cells: &[&str]) {
        assert_eq!(split(line, delimiter).collect::<Vec<_>>(), cells, "{line:?}");
    }

    #[test]
    fn cells_are_told_apart() {
        let comma = Delimiter::Character(',');
        check("1, 2 ,3", comma, &["1", "2", "3"]);
        check("1,,3,", comma, &["1", "", "3", ""]);
        check("", comma, &[""]);
        check("\"1,5\",\" x \"", comma, &["1,5", "x"]);
        check("\"never closed,2", comma, &["\"never closed,2"]);
        check("  1  2\t 3 ", Delimiter::Blanks, &["1", "2", "3"]);
        check("a§b", Delimiter::Character('§'), &["a", "b"]);
    }

    #[test]
    fn the_delimiter_shows_itself() {
        let shown = |decimal, line| settled(Delimiter::Detect, decimal, line);
        assert_eq!(shown(DecimalMark::Point, "a,b\tc"), Delimiter::Character('\t'));
        assert_eq!(shown(DecimalMark::Point, "a,b"), Delimiter::Character(','));
        assert_eq!(shown(DecimalMark::Comma, "1,5;2,5"), Delimiter::Character(';'));
        assert_eq!(shown(DecimalMark::Comma, "1,5 2,5"), Delimiter::Blanks);
        let given = Delimiter::Character('|');
        assert_eq!(settled(given, DecimalMark::Point, "a,b"), given);
    }

    #[test]
    fn numbers_follow_their_decimal_mark() {
        for (cell, decimal, wanted) in [
            ("-1.5e-3", DecimalMark::Point, Some(-1.5e-3)),
            ("+2", DecimalMark::Point, Some(2.0)),
            ("1,5", DecimalMark::Point, None),
            ("1,5", DecimalMark::Comma, Some(1.5)),
            ("1.5", DecimalMark::Comma, None),
            ("1,000,5", DecimalMark::Comma, None),
            ("", DecimalMark::Point, None),
            ("0x10", DecimalMark::Point, None),
        ] {
            assert_eq!(number(cell, decimal), wanted, "{cell:?}");
        }
    }
}

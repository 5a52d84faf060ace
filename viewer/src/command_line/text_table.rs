//! Columns of text, lined up.

/// Which side of its column a text stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Lays rows out in columns two spaces apart; every row has one cell for each of `sides`.
pub(crate) fn text_table(sides: &[Side], rows: &[Vec<String>]) -> String {
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max()
    };
    let widths: Vec<usize> = (0..sides.len()).map(|column| width(column).unwrap_or(0)).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for ((cell, &width), side) in row.iter().zip(&widths).zip(sides) {
            let padding = " ".repeat(width.saturating_sub(cell.chars().count()));
            if !line.is_empty() {
                line.push_str("  ");
            }
            match side {
                Side::Left => line.extend([cell.as_str(), padding.as_str()]),
                Side::Right => line.extend([padding.as_str(), cell.as_str()]),
            }
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_left_and_numbers_right() {
        let rows = [
            vec!["mean velocity".to_owned(), "9.1".to_owned()],
            vec!["area".to_owned(), "1024".to_owned()],
        ];
        let table = text_table(&[Side::Left, Side::Right], &rows);
        assert_eq!(table, "mean velocity   9.1\narea           1024\n");
    }
}

//! Tables: a head, rows of cells whose text wraps.

use super::figure::{Colour, Ink};
use super::pages::{LeafKind, MARGIN, Pages, Part, Role, Style};

/// Size of letters unless another is asked for.
const SIZE: f32 = 9.0;
const LEADING: f32 = 1.3;
const PAD: f32 = 0.9;
const GUTTER: f32 = 8.0;

/// A column: its head and its share of the width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column<'a> {
    pub(super) head: &'a str,
    pub(super) share: f32,
}

/// A cell with more lines goes on in a further row, so that no row is taller than a page.
const MOST_LINES: usize = 30;

/// A table being set.
struct Grid<'a> {
    columns: &'a [Column<'a>],
    size: f32,
}

impl Grid<'_> {
    fn lines(&self, pages: &Pages, row: &[String]) -> Vec<Vec<String>> {
        let cells = self.columns.iter().zip(row);
        let width = |column: &Column<'_>| column.share * pages.width() - GUTTER;
        cells.map(|(column, text)| pages.face.lines(text, self.size, width(column))).collect()
    }

    fn height(&self, cells: &[Vec<String>]) -> f32 {
        let n_lines = cells.iter().map(Vec::len).max().unwrap_or(0).clamp(1, MOST_LINES);
        n_lines as f32 * self.size * LEADING + 2.0 * PAD
    }

    /// Sets the first lines of each cell and takes them away.
    fn row(&self, pages: &mut Pages, cells: &mut [Vec<String>], is_head: bool) -> Part {
        let height = self.height(cells);
        let (top, width) = (pages.y(), pages.width());
        let mut left = MARGIN;
        let mut parts = Vec::with_capacity(cells.len());
        for (i, (column, lines)) in self.columns.iter().zip(cells).enumerate() {
            let rest = lines.split_off(lines.len().min(MOST_LINES));
            let mut leaves = Vec::with_capacity(lines.len());
            for (n, text) in std::mem::replace(lines, rest).into_iter().enumerate() {
                let at = [left, top + PAD + self.size + n as f32 * self.size * LEADING];
                let colour = if is_head { Colour::Quiet } else { Colour::Ink };
                let ink = Ink::Text { at, size: self.size, colour, text };
                leaves.push(pages.leaf(vec![ink], LeafKind::Text));
            }
            let role = match (is_head, i) {
                (true, _) => Role::ColumnHead,
                (false, 0) => Role::RowHead,
                (false, _) => Role::Cell,
            };
            parts.push(Part::Group(role, leaves));
            left += column.share * width;
        }
        pages.advance(height);
        let colour = if is_head { Colour::Quiet } else { Colour::Hairline };
        pages.rule(colour, 0.5, 0.0);
        Part::Group(Role::Row, parts)
    }
}

impl Pages {
    /// A table whose first column names its rows. Heads are repeated on further pages.
    pub(super) fn table(&mut self, columns: &[Column<'_>], rows: &[Vec<String>], after: f32) {
        self.table_of_size(columns, rows, SIZE, after);
    }

    /// A table with letters of `size`.
    pub(super) fn table_of_size(
        &mut self,
        columns: &[Column<'_>],
        rows: &[Vec<String>],
        size: f32,
        after: f32,
    ) {
        let grid = Grid { columns, size };
        let heads: Vec<String> = columns.iter().map(|column| column.head.to_owned()).collect();
        let head_lines = grid.lines(self, &heads);
        let mut table = vec![grid.row(self, &mut head_lines.clone(), true)];
        for row in rows {
            let mut cells = grid.lines(self, row);
            while cells.iter().any(|lines| !lines.is_empty()) {
                let page = self.count;
                self.keep(grid.height(&cells));
                if page != self.count {
                    table.push(grid.row(self, &mut head_lines.clone(), true));
                }
                table.push(grid.row(self, &mut cells, false));
            }
        }
        self.parts.push(Part::Group(Role::Table, table));
        self.advance(after);
    }

    /// Names and values in two columns, as at the top of a chart page.
    pub(super) fn facts(&mut self, facts: &[(String, String)], style: Style) {
        let name_width = 0.3 * self.width();
        let mut rows = Vec::with_capacity(facts.len());
        for (name, value) in facts {
            let lines = self.face.lines(value, style.size, self.width() - name_width).len();
            self.keep(style.size * LEADING * lines.min(4) as f32);
            let (page, top) = (self.count, self.y());
            let quiet = Style { colour: Colour::Quiet, ..style };
            let name = self.text_lines(name, MARGIN, name_width - GUTTER, quiet);
            let below_name = self.y();
            if page == self.count {
                self.advance(top - below_name);
            }
            let value_width = self.width() - name_width;
            let value = self.text_lines(value, MARGIN + name_width, value_width, style);
            if page == self.count && self.y() < below_name {
                self.advance(below_name - self.y());
            }
            self.advance(style.after);
            rows.push(Part::Group(
                Role::Row,
                vec![Part::Group(Role::RowHead, name), Part::Group(Role::Cell, value)],
            ));
        }
        if !rows.is_empty() {
            self.parts.push(Part::Group(Role::Table, rows));
        }
    }
}

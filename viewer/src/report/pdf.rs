//! Pages as a PDF file.

use std::num::NonZeroU16;

use krilla::color::rgb;
use krilla::configure::ConfigurationBuilder;
use krilla::configure::validate::{Accessibility, Archival};
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, ListNumbering, Node, SpanTag,
    TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use krilla::text::{Font, TextDirection};
use krilla::{Document, SerializeSettings};
use thiserror::Error;

use super::figure::{Colour, Ink};
use super::made_at::MadeAt;
use super::pages::{Bookmark, Leaf, LeafKind, Pages, Part, Role};
use super::typeface::Typeface;

/// Why a report could not be made.
#[derive(Debug, Error)]
pub enum ReportError {
    /// The library that writes PDF refused; a fault of this program.
    #[error("the pages could not be written as PDF: {reason}")]
    Export {
        /// What it said.
        reason: String,
    },
}

/// What a file says of itself.
pub(super) struct About<'a> {
    pub(super) title: &'a str,
    /// Tag of the language, as in RFC 5646.
    pub(super) language: &'a str,
    /// Program and version.
    pub(super) software: &'a str,
    pub(super) made: MadeAt,
}

/// Writes the pages.
pub(super) fn export(pages: &Pages, about: &About<'_>) -> Result<Vec<u8>, ReportError> {
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A3_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(refused)?;
    let mut document = Document::new_with(SerializeSettings {
        enable_tagging: true,
        configuration,
        ..SerializeSettings::default()
    });
    let font = Font::new(Typeface::bytes().to_vec().into(), 0)
        .ok_or_else(|| ReportError::Export { reason: "the typeface cannot be read".to_owned() })?;
    let mut ids: Vec<Option<Identifier>> = pages.leaves.iter().map(|_| None).collect();
    let [width, height] = pages.paper.size();
    for number in 0..pages.count {
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| ReportError::Export { reason: "the paper has no size".to_owned() })?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        let on_page = pages.leaves.iter().zip(&mut ids).filter(|(leaf, _)| leaf.page == number);
        for (leaf, id) in on_page {
            *id = Some(draw_leaf(&mut surface, leaf, &font));
        }
        surface.finish();
        page.finish();
    }
    document.set_tag_tree(tag_tree(&pages.parts, &ids, about.language));
    document.set_outline(outline(&pages.bookmarks));
    document.set_metadata(metadata(about));
    document.finish().map_err(refused)
}

fn refused(error: impl std::fmt::Debug) -> ReportError {
    ReportError::Export { reason: format!("{error:?}") }
}

fn metadata(about: &About<'_>) -> Metadata {
    Metadata::new()
        .title(about.title.to_owned())
        .language(about.language.to_owned())
        .creator(about.software.to_owned())
        .creation_date(about.made.pdf())
}

fn outline(bookmarks: &[Bookmark]) -> Outline {
    let mut outline = Outline::new();
    for bookmark in bookmarks {
        let place = XyzDestination::new(bookmark.page, Point::from_xy(0.0, bookmark.top));
        outline.push_child(OutlineNode::new(bookmark.text.clone(), place));
    }
    outline
}

fn tag_tree(parts: &[Part], ids: &[Option<Identifier>], language: &str) -> TagTree {
    let mut tree = TagTree::new().with_lang(Some(language.to_owned()));
    for part in parts {
        if let Some(node) = node(part, ids) {
            tree.push(node);
        }
    }
    tree
}

fn node(part: &Part, ids: &[Option<Identifier>]) -> Option<Node> {
    match part {
        Part::Leaf(index) => ids.get(*index).copied().flatten().map(Node::Leaf),
        Part::Group(role, parts) => {
            let mut group = TagGroup::new(tag(role));
            for part in parts {
                if let Some(node) = node(part, ids) {
                    group.push(node);
                }
            }
            Some(group.into())
        }
    }
}

fn tag(role: &Role) -> TagKind {
    match role {
        Role::Heading(level, text) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(text.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::ItemText => Tag::LBody.into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(alternative, page, [left, top, right, bottom]) => {
            let bounds = Rect::from_ltrb(*left, *top, *right, *bottom);
            Tag::Figure(Some(alternative.clone()))
                .with_bbox(bounds.map(|bounds| BBox::new(*page, bounds)))
                .into()
        }
    }
}

fn draw_leaf(surface: &mut Surface<'_>, leaf: &Leaf, font: &Font) -> Identifier {
    let tag = match leaf.kind {
        LeafKind::Text => ContentTag::Span(SpanTag::empty()),
        LeafKind::Drawing => ContentTag::Other,
        LeafKind::Decoration => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
        LeafKind::Foot => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Footer)),
    };
    let id = surface.start_tagged(tag);
    for ink in &leaf.inks {
        draw_ink(surface, ink, font);
    }
    surface.end_tagged();
    id
}

fn draw_ink(surface: &mut Surface<'_>, ink: &Ink, font: &Font) {
    match ink {
        Ink::Text { at, size, colour, text } => {
            surface.set_fill(Some(fill(*colour)));
            surface.set_stroke(None);
            let at = Point::from_xy(at[0], at[1]);
            surface.draw_text(at, font.clone(), *size, text, false, TextDirection::LeftToRight);
        }
        Ink::Line { points, width, colour, dashed } => {
            let Some(path) = path(points, false) else { return };
            surface.set_fill(None);
            surface.set_stroke(Some(Stroke {
                paint: paint(*colour).into(),
                width: *width,
                line_cap: LineCap::Round,
                line_join: LineJoin::Round,
                dash: dashed.then(|| StrokeDash { array: vec![4.0, 2.5], offset: 0.0 }),
                opacity: NormalizedF32::ONE,
                ..Stroke::default()
            }));
            surface.draw_path(&path);
        }
        Ink::Area { points, colour } => {
            let Some(path) = path(points, true) else { return };
            surface.set_fill(Some(fill(*colour)));
            surface.set_stroke(None);
            surface.draw_path(&path);
        }
    }
}

fn path(points: &[[f32; 2]], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    builder.move_to(first[0], first[1]);
    for point in rest {
        builder.line_to(point[0], point[1]);
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

fn paint(colour: Colour) -> rgb::Color {
    let [red, green, blue] = colour.rgb();
    rgb::Color::new(red, green, blue)
}

fn fill(colour: Colour) -> Fill {
    Fill { paint: paint(colour).into(), ..Fill::default() }
}

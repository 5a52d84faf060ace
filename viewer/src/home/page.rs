//! What the home window shows at one moment, made from what is asked and from the board.

use std::time::Duration;

use acquisition::home::{Answer, Ask, HomeSettings};
use acquisition::{LiveView, Progress, Stage};
use analysis::TrialKind;
use analysis::readiness::{Rating, Thresholds};

use crate::sound::{Cue, Volume};
use crate::strings::{Language, decimals};

/// What a button does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Choice {
    /// Answers yes.
    Yes,
    /// Answers no.
    No,
    /// Goes on.
    GoOn,
    /// The sound a step quieter.
    Quieter,
    /// The sound a step louder.
    Louder,
    /// One point less.
    Less,
    /// One point more.
    More,
    /// These points.
    ThatMany,
    /// Plays the sound once more.
    Again,
    /// No more stands today; ends the one under way.
    Enough,
    /// Tries the board once more.
    TryAgain,
    /// Leaves the program, or home mode.
    Leave,
    /// Does not leave.
    Stay,
}

/// Where the wobble is, from 0 to 1 over the width of the drawing, with the window's edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Meter {
    /// The window's lower edge.
    pub(crate) lower: f32,
    /// The window's upper edge.
    pub(crate) upper: f32,
    /// The wobble now; `None` in the first seconds.
    pub(crate) wobble: Option<f32>,
}

/// Everything on the page: one thing, a few lines, at most three buttons.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Page {
    pub(crate) title: String,
    pub(crate) lines: Vec<String>,
    /// The one number, such as points or seconds.
    pub(crate) number: Option<String>,
    pub(crate) meter: Option<Meter>,
    /// What a cue would say, for who hears none.
    pub(crate) mark: Option<Cue>,
    pub(crate) choices: Vec<Choice>,
}

/// How far the meter reaches, in widths of the wobble window: one window beyond its upper edge.
const METER_WINDOWS: f64 = 2.0;

/// What a page is made from.
#[derive(Debug)]
pub(crate) struct PageInput<'a> {
    pub(crate) ask: &'a Ask,
    pub(crate) settings: &'a HomeSettings,
    pub(crate) limits: &'a Thresholds,
    /// The points that are set but not given yet.
    pub(crate) points: u8,
    /// How loud it plays.
    pub(crate) volume: Volume,
    /// What a cue would say in the stand under way, for who hears none.
    pub(crate) mark: Option<Cue>,
    /// What the board does, while it does something.
    pub(crate) progress: Option<&'a Progress>,
    /// Why the board cannot do it: what, why, what to do.
    pub(crate) trouble: Option<&'a crate::strings::Message>,
    /// Time left of a rest.
    pub(crate) rest_left: Option<Duration>,
}

impl Page {
    /// The page for what is asked now.
    pub(crate) fn of(input: &PageInput<'_>, words: &Language) -> Self {
        if let Some(trouble) = input.trouble {
            return Self {
                title: trouble.what.clone(),
                lines: vec![trouble.why.clone(), trouble.what_to_do.clone()],
                number: None,
                meter: None,
                mark: None,
                choices: vec![Choice::TryAgain, Choice::Enough, Choice::Leave],
            };
        }
        let page = (words.practice.page)(input.ask, input.settings);
        let mut page = Self {
            title: page.title,
            lines: page.lines,
            number: None,
            meter: None,
            mark: None,
            choices: choices(input.ask),
        };
        match input.ask {
            Ask::NextMorning
            | Ask::PainBefore
            | Ask::Difficulty
            | Ask::WorstPain
            | Ask::PainAfter => page.number = Some(input.points.to_string()),
            Ask::Volume => page.number = Some(input.volume.step().to_string()),
            Ask::Rest { .. } => {
                page.number = input.rest_left.map(|left| left.as_secs().to_string());
            }
            Ask::Stand(stand) => {
                if let Some(progress) = input.progress {
                    (words.practice.stage)(&progress.stage).clone_into(&mut page.title);
                    page.stand(progress, stand.kind(), input.limits);
                    page.mark = input.mark;
                }
            }
            _ => {}
        }
        page
    }

    /// The second step on the way out of home mode.
    pub(crate) fn leaving(words: &Language) -> Self {
        let asked = (words.practice.leaving)();
        Self {
            title: asked.title,
            lines: asked.lines,
            number: None,
            meter: None,
            mark: None,
            choices: vec![Choice::Stay, Choice::Leave],
        }
    }

    /// A measured stand shows nothing of itself: what is shown would change it.
    fn stand(&mut self, progress: &Progress, kind: TrialKind, limits: &Thresholds) {
        let begun = progress.stage == Stage::Recording;
        if begun {
            self.lines.clear();
        }
        if !begun || kind != TrialKind::Guided {
            return;
        }
        if let Some(asked_s) = progress.asked_s {
            self.number = Some(decimals((asked_s - progress.elapsed_s).max(0.0), 0));
        }
        self.meter = Some(meter(progress.live.as_ref(), limits));
    }
}

fn meter(live: Option<&LiveView>, limits: &Thresholds) -> Meter {
    let end_mm = limits.wobble_upper_mm * METER_WINDOWS;
    #[expect(clippy::cast_possible_truncation, reason = "a place on a screen")]
    let place = |wobble_mm: f64| (wobble_mm / end_mm).clamp(0.0, 1.0) as f32;
    Meter {
        lower: place(limits.wobble_lower_mm),
        upper: place(limits.wobble_upper_mm),
        wobble: live.and_then(|live| live.sway).map(|sway| place(sway.wobble_mm)),
    }
}

fn choices(ask: &Ask) -> Vec<Choice> {
    match ask {
        Ask::Missing(_) | Ask::Locked(_) | Ask::Done(_) => vec![Choice::Leave],
        Ask::NothingReleased | Ask::Kept { .. } | Ask::SoundWasLost => vec![Choice::GoOn],
        Ask::MoreThanPlanned { .. } => vec![Choice::Leave, Choice::Yes],
        Ask::NextMorning | Ask::PainBefore | Ask::Difficulty | Ask::WorstPain | Ask::PainAfter => {
            vec![Choice::Less, Choice::More, Choice::ThatMany]
        }
        Ask::Sign(_) | Ask::Company | Ask::Touched | Ask::FindStance | Ask::HeldOnOrHurt => {
            vec![Choice::No, Choice::Yes]
        }
        Ask::Volume => vec![Choice::Quieter, Choice::Louder, Choice::GoOn],
        Ask::Room => vec![Choice::Enough, Choice::Yes],
        Ask::SoundCheck => vec![Choice::No, Choice::Again, Choice::Yes],
        Ask::BoardCheck | Ask::Stand(_) | Ask::Rest { .. } => vec![Choice::Enough],
    }
}

/// The answer a choice gives to what is asked; `None` for one that only changes the page.
pub(crate) fn answer(ask: &Ask, choice: Choice, points: u8) -> Option<Answer> {
    match choice {
        Choice::Yes => Some(Answer::Yes),
        Choice::No => Some(Answer::No),
        Choice::GoOn if *ask == Ask::NothingReleased => Some(Answer::Enough),
        Choice::GoOn => Some(Answer::Continue),
        Choice::ThatMany => Rating::new(points).map(Answer::Points),
        Choice::Enough => Some(Answer::Enough),
        Choice::Quieter
        | Choice::Louder
        | Choice::Less
        | Choice::More
        | Choice::Again
        | Choice::TryAgain
        | Choice::Leave
        | Choice::Stay => None,
    }
}

#[cfg(test)]
mod tests {
    use acquisition::LiveSway;
    use acquisition::home::{Lock, Missing, Part, Reached, Sign, Stand};
    use analysis::Cop;
    use analysis::readiness::Which;
    use egui::accesskit::Role;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    use super::super::paint;
    use super::*;
    use crate::strings::{ENGLISH, LANGUAGES};

    fn stand(part: Part) -> Stand {
        let condition = "foam/hip-width/open".parse().unwrap();
        Stand { condition, part, number: 1, of: 2, settle_s: 12.0, hold_s: 35.0, heard: true }
    }

    fn every_ask() -> Vec<Ask> {
        let mut all = vec![
            Ask::Missing(Missing::EmergencyNumber),
            Ask::Missing(Missing::ClinicContact),
            Ask::Missing(Missing::Plan),
            Ask::Locked(Lock { reasons: vec![Which::WarningSign] }),
            Ask::Locked(Lock { reasons: vec![Which::Fall, Which::PainAfter] }),
            Ask::NothingReleased,
            Ask::MoreThanPlanned { planned: 1 },
            Ask::Kept { n_stands: 1 },
            Ask::NextMorning,
            Ask::PainBefore,
            Ask::Room,
            Ask::Company,
            Ask::Volume,
            Ask::SoundCheck,
            Ask::BoardCheck,
            Ask::FindStance,
            Ask::HeldOnOrHurt,
            Ask::Rest { until_unix_us: 0, then: stand(Part::Guided) },
            Ask::SoundWasLost,
            Ask::Touched,
            Ask::Difficulty,
            Ask::WorstPain,
            Ask::PainAfter,
            Ask::Done(Reached { n_measured: 2, n_guided: 1, n_planned: 2 }),
        ];
        all.extend(Sign::ALL.iter().map(|sign| Ask::Sign(*sign)));
        all.extend(Part::ALL.iter().map(|part| Ask::Stand(stand(*part))));
        all
    }

    fn page(ask: &Ask, progress: Option<&Progress>) -> Page {
        page_in(&ENGLISH, ask, progress)
    }

    fn page_in(words: &Language, ask: &Ask, progress: Option<&Progress>) -> Page {
        let settings = HomeSettings {
            emergency_number: Some("112".to_owned()),
            clinic_contact: Some("C-01".to_owned()),
            ..HomeSettings::default()
        };
        let limits = Thresholds::default();
        let (points, trouble, rest_left) = (3, None, Some(Duration::from_secs(20)));
        let input = PageInput {
            ask,
            settings: &settings,
            limits: &limits,
            points,
            volume: Volume::of(&settings),
            mark: None,
            progress,
            trouble,
            rest_left,
        };
        Page::of(&input, words)
    }

    #[test]
    fn every_page_has_one_title_few_lines_and_at_most_three_buttons() {
        for words in LANGUAGES {
            for ask in every_ask() {
                let page = page_in(words, &ask, None);
                assert!((1..=3).contains(&page.choices.len()), "{ask:?}");
                assert!((1..=60).contains(&page.title.chars().count()), "{}", page.title);
                assert!(page.lines.len() <= 5, "{ask:?}");
            }
        }
    }

    /// In every language, on the smallest window and on a common laptop.
    #[test]
    fn nothing_on_a_page_reaches_into_the_buttons_or_over_the_edge() {
        for words in LANGUAGES {
            for ask in every_ask() {
                for (width, height) in [(1024.0, 700.0), (1366.0, 768.0)] {
                    let shown = page_in(words, &ask, None);
                    let drawn = shown.clone();
                    let mut harness =
                        Harness::builder().with_size([width, height]).build_ui(move |root| {
                            paint::ui(root, &drawn, &words.practice);
                        });
                    harness.run_steps(2);
                    let buttons = harness.get_all_by_role(Role::Button);
                    let top = buttons.map(|node| node.rect().top()).fold(height, f32::min);
                    for text in shown.lines.iter().chain([&shown.title]) {
                        let rect = harness.get_by_label(text).rect();
                        assert!(rect.bottom() <= top, "{text}: {rect:?}, buttons at {top}");
                        assert!(0.0 <= rect.left() && rect.right() <= width, "{text}: {rect:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn only_a_guided_stand_shows_its_wobble_and_its_time() {
        let sway = LiveSway {
            body_centre: Cop::new(0.0, 0.0),
            mean_body_centre: Cop::new(0.0, 0.0),
            wobble_mm: 25.4,
        };
        let live = LiveView { time_us: 0, load_newtons: 600.0, cop: None, sway: Some(sway) };
        let stage = Stage::Recording;
        let progress = Progress { stage, elapsed_s: 5.0, asked_s: Some(35.0), live: Some(live) };
        for part in Part::ALL {
            let page = page(&Ask::Stand(stand(*part)), Some(&progress));
            let shows = matches!(part, Part::Guided | Part::Find);
            assert_eq!(page.number.as_deref(), shows.then_some("30"), "{part}");
            assert_eq!(page.meter.is_some(), shows, "{part}");
            if let Some(meter) = page.meter {
                // At the window's upper edge: the same place as the edge.
                assert_eq!(meter.wobble, Some(meter.upper));
                assert!(0.0 < meter.lower && meter.lower < meter.upper && meter.upper < 1.0);
            }
        }
    }

    #[test]
    fn points_are_given_as_set() {
        assert_eq!(
            answer(&Ask::PainBefore, Choice::ThatMany, 4),
            Rating::new(4).map(Answer::Points)
        );
        assert_eq!(answer(&Ask::PainBefore, Choice::More, 4), None);
        assert_eq!(answer(&Ask::NothingReleased, Choice::GoOn, 4), Some(Answer::Enough));
    }
}

//! Practice at home, in German: short and plain.

use acquisition::Stage;
use acquisition::home::{Ask, HomeSettings, Lock, Missing, Part, Reached, Sign, Stand};
use acquisition::records::PracticeFlag;
use analysis::Vision;
use analysis::readiness::Which;

use super::condition::condition;
use super::number::decimals;
use super::trouble::trouble;
use crate::sound::Cue;
use crate::strings::practice::{PageWords, PracticeWords};

pub(super) const PRACTICE: PracticeWords = PracticeWords {
    page,
    yes: "Ja",
    no: "Nein",
    go_on: "Weiter",
    enough: "Genug für heute",
    less: "Weniger",
    more: "Mehr",
    that_many: "So ist es",
    try_again: "Noch einmal",
    wobble_not_known: "Stehen Sie still",
    wobble_too_little: "Etwas lockerer",
    wobble_inside: "Genau so",
    wobble_too_much: "Ruhiger",
    again: "Noch einmal hören",
    leave: "Schließen",
    quieter: "Leiser",
    louder: "Lauter",
    mark,
    stay: "Bleiben",
    leaving: || {
        words(
            "Den Übungsmodus verlassen?",
            &["Was beantwortet und aufgezeichnet wurde, ist gespeichert; die Sitzung geht beim \
                 nächsten Wechsel weiter."],
        )
    },
    leave_key: "F11: Übungsmodus verlassen",
    typed_louder: &["lauter", "+"],
    typed_quieter: &["leiser", "-"],
    type_volume: "Tippen Sie „lauter“, „leiser“ oder, wenn es so passt, „ja“, dann die Eingabetaste.",
    typed_yes: &["ja", "j"],
    typed_no: &["nein", "n"],
    type_yes_or_no: "Tippen Sie „ja“ oder „nein“, dann die Eingabetaste.",
    type_points: "Tippen Sie eine ganze Zahl von 0 bis 10, dann die Eingabetaste.",
    no_sound: "Hier gibt es keinen Ton: nur Übungen mit offenen Augen.",
    stage,
    flag,
    trouble,
};

fn words(title: impl Into<String>, lines: &[&str]) -> PageWords {
    PageWords { title: title.into(), lines: lines.iter().map(|line| (*line).to_owned()).collect() }
}

const SCALE: &str = "0 ist keiner, 10 ist der stärkste, den Sie sich vorstellen können.";

#[expect(clippy::too_many_lines, reason = "one arm a thing that is asked")]
fn page(ask: &Ask, settings: &HomeSettings) -> PageWords {
    match ask {
        Ask::Missing(missing) => missing_words(*missing),
        Ask::Locked(lock) => locked(lock, settings),
        Ask::NothingReleased => words(
            "Zurzeit ist keine Übung freigegeben",
            &[
                "Was Ihr Plan als Nächstes vorsieht, geschieht in der Praxis, oder es braucht den \
                 Ton oder eine zweite Person.",
                "Fragen Sie Ihre Praxis.",
            ],
        ),
        Ask::MoreThanPlanned { planned } => words(
            "Für heute ist schon alles getan",
            &[
                &format!("Ihr Plan sieht {} am Tag vor.", sessions(*planned)),
                "Mehr ist nicht besser. Möchten Sie trotzdem üben?",
            ],
        ),
        Ask::Kept { n_stands } => words(
            "Die letzte Sitzung brach ab",
            &[
                &format!(
                    "{} gespeichert. Was aufgezeichnet wurde, ist nicht verloren.",
                    stands(*n_stands)
                ),
                "Es geht dort weiter, wo sie aufhörte.",
            ],
        ),
        Ask::NextMorning => words(
            "Wie stark war der Schmerz am Morgen danach?",
            &["Am Morgen nach Ihrer letzten Sitzung.", SCALE],
        ),
        Ask::Sign(sign) => sign_words(*sign),
        Ask::PainBefore => words("Wie stark ist der Schmerz jetzt?", &[SCALE]),
        Ask::Room => words(
            "Ist alles bereit?",
            &[
                "Das Board liegt auf trockenem, ebenem Boden, die Vorderseite von Ihnen weg.",
                "Auf beiden Seiten ist fester Halt in Reichweite, und rundum ist ein Meter frei.",
                "Barfuß, gutes Licht. Das Telefon ist in Reichweite.",
                "Kein Alkohol, keine neuen Beruhigungsmittel.",
                "Öffnen Sie die Augen und halten Sie sich fest, wann immer Sie wollen.",
            ],
        ),
        Ask::Company => words(
            "Ist eine zweite Person bei Ihnen?",
            &["Machen Sie Ihre nächste Übung nur, wenn jemand neben Ihnen ist."],
        ),
        Ask::Volume => words(
            "Lauter oder leiser?",
            &[
                "Die Töne erklingen bei jeder Änderung noch einmal.",
                "So laut, wie Sie es mit geschlossenen Augen mögen.",
            ],
        ),
        Ask::FindStance => words(
            "Zuerst die Fußstellung für heute finden?",
            &[
                "Kurze Durchgänge von leicht bis schwer, bis das Wackeln genau passt.",
                "Schluss ist, sobald Sie sich festhalten, absteigen oder Schmerzen haben.",
            ],
        ),
        Ask::HeldOnOrHurt => words(
            "Haben Sie sich festgehalten, oder tat es weh?",
            &["Auch eine Fingerspitze zählt. Bei Ja ist hier für heute Schluss."],
        ),
        Ask::SoundCheck => words(
            "Haben Sie fünf Töne gehört?",
            &["Ohne Ton gibt es nur Übungen mit offenen Augen."],
        ),
        Ask::BoardCheck => {
            words("Lassen Sie das Board leer", &["Es wird geprüft: Meldet sich jede Ecke?"])
        }
        Ask::Stand(stand) => stand_words(stand),
        Ask::Rest { then, .. } => words(
            "Pause",
            &["Steigen Sie ab und atmen Sie durch.", &format!("Danach: {}.", which(then))],
        ),
        Ask::SoundWasLost => words(
            "Der Ton war weg",
            &[
                "Der Stand ist gespeichert und markiert.",
                "Sehen Sie nach dem Lautsprecher; dann wird der Ton noch einmal geprüft.",
            ],
        ),
        Ask::Touched => words(
            "Haben Sie im Stehen etwas berührt?",
            &["Auch eine Fingerspitze zählt. Es ist kein Fehler, nur gut zu wissen."],
        ),
        Ask::Difficulty => words(
            "Wie schwer hat es sich angefühlt?",
            &["0 ist sehr leicht, 10 ist: Ich konnte es nicht."],
        ),
        Ask::WorstPain => words("Wie stark war der stärkste Schmerz beim Üben?", &[SCALE]),
        Ask::PainAfter => words("Wie stark ist der Schmerz jetzt, danach?", &[SCALE]),
        Ask::Done(reached) => done(reached),
    }
}

fn missing_words(missing: Missing) -> PageWords {
    match missing {
        Missing::EmergencyNumber => words(
            "Die Notrufnummer ist nicht eingestellt",
            &["Stellen Sie sie erst ein: footing home-settings --emergency-number 112"],
        ),
        Missing::ClinicContact => words(
            "Die Nummer der Praxis ist nicht eingestellt",
            &["Stellen Sie sie erst ein: footing home-settings --clinic-contact \"...\""],
        ),
        Missing::Plan => words(
            "Es gibt noch keinen Plan",
            &["Ihre Praxis schickt einen. Übernehmen Sie ihn mit: footing take DATEI"],
        ),
    }
}

fn locked(lock: &Lock, settings: &HomeSettings) -> PageWords {
    let contact = settings.clinic_contact.as_deref().unwrap_or_default();
    let number = settings.emergency_number.as_deref().unwrap_or_default();
    let reasons: Vec<&str> = lock.reasons.iter().map(|which| reason(*which)).collect();
    let mut page = if lock.is_emergency() {
        words(
            format!("Stopp. Rufen Sie jetzt {number} an"),
            &[
                "Was Sie gemeldet haben, muss jetzt ärztlich untersucht werden. Warten Sie nicht auf \
                 dieses Programm.",
                &format!("Sagen Sie auch Ihrer Praxis Bescheid: {contact}"),
            ],
        )
    } else {
        words(
            "Stopp. Vorerst keine Übung",
            &[
                &format!("Sie haben gemeldet: {}.", reasons.join("; ")),
                &format!("Rufen Sie Ihre Praxis an: {contact}"),
                &format!("Wird es schnell schlimmer, rufen Sie {number} an."),
            ],
        )
    };
    page.lines.push("Weiter geht es, wenn Ihre Praxis einen neuen Plan geschickt hat.".to_owned());
    page
}

fn reason(which: Which) -> &'static str {
    match which {
        Which::LegPainFurtherDown => "Beinschmerz weiter unten",
        Which::NumbnessOrWeakness => "neue Taubheit oder Schwäche",
        Which::Fall => "ein Sturz",
        Which::PainDuring => "mehr Schmerz beim Üben",
        Which::PainAfter => "mehr Schmerz nach dem Üben",
        Which::PainNextMorning => "mehr Schmerz am nächsten Morgen",
        Which::PainAtStart => "zu Beginn mehr Schmerz, als Ihr Plan erlaubt",
        _ => "etwas, das ärztlich untersucht werden muss",
    }
}

fn sign_words(sign: Sign) -> PageWords {
    match sign {
        Sign::Warning => words(
            "Etwas Neues? Eines davon?",
            &[
                "Das Wasserlassen kommt schwer oder gar nicht in Gang, oder Sie spüren nicht, dass Urin \
                 abgeht.",
                "Taubheit um den After, an den Genitalien oder innen an den Oberschenkeln.",
                "Sie spüren den vollen Darm nicht, oder Stuhl geht ungewollt ab. Neue Probleme \
                 mit der Sexualfunktion.",
                "Starke oder zunehmende Schwäche in beiden Beinen.",
            ],
        ),
        Sign::NumbnessOrWeakness => words(
            "Irgendwo neue Taubheit oder Schwäche?",
            &["Etwa ein Fuß, den Sie nicht mehr richtig heben können, oder ein Bein, das \
               wegknickt."],
        ),
        Sign::LegPain => words(
            "Beinschmerz weiter unten als vorher?",
            &["Weiter zum Fuß hin als beim letzten Mal."],
        ),
        Sign::Fall => {
            words("Sind Sie seit der letzten Sitzung gestürzt?", &["Oder beinahe gestürzt."])
        }
    }
}

fn stand_words(stand: &Stand) -> PageWords {
    let eyes = match stand.condition.vision {
        Vision::Open => "Augen auf.",
        Vision::Closed => "Schließen Sie die Augen, wenn der erste Ton erklingt.",
    };
    let last = match stand.part {
        Part::Reference => "Stellen Sie die Füße auf die Umrisse, und lassen Sie sie dort.",
        _ => "Steigen Sie ab, wann immer Sie wollen.",
    };
    words(
        "Steigen Sie auf und stehen Sie still",
        &[
            &format!("{}, {} Sekunden.", capital(&which(stand)), decimals(stand.hold_s, 0)),
            &condition(&stand.condition),
            eyes,
            last,
        ],
    )
}

fn which(stand: &Stand) -> String {
    let part = match stand.part {
        Part::Find => "zum Finden der Fußstellung",
        Part::Reference => return "wo Ihr Gewicht heute liegt".to_owned(),
        Part::Practice => "zum Eingewöhnen",
        Part::Measured => "gemessen",
        Part::Guided => "geführt",
    };
    format!("{part}, {} von {}", stand.number, stand.of)
}

fn done(reached: &Reached) -> PageWords {
    words(
        "Fertig, danke",
        &[
            &format!("{} gemessen.", stands(reached.n_measured)),
            &format!("Geführtes Halten: {} von {}.", reached.n_guided, reached.n_planned),
            "Schicken Sie die Sitzung Ihrer Praxis: footing send KÜRZEL",
        ],
    )
}

const fn mark(cue: Cue) -> &'static str {
    match cue {
        Cue::Start => "ES BEGINNT",
        Cue::TooMuch => "RUHIGER",
        Cue::TooLittle => "ETWAS LOCKERER",
        Cue::PositionLost => "ZURÜCK ZUR MITTE",
        Cue::TenSecondsLeft => "NOCH 10 SEKUNDEN",
        Cue::End => "VORBEI",
        Cue::Stop => "STOPP, FESTHALTEN",
        Cue::SoundCheck => "FÜNF TÖNE",
    }
}

const fn stage(stage: &Stage) -> &'static str {
    match stage {
        Stage::Zeroing { trouble: None } => "Lassen Sie das Board leer",
        Stage::Zeroing { trouble: Some(_) } => "Räumen Sie das Board frei und lassen Sie es ruhen",
        Stage::AwaitingLoad => "Steigen Sie auf",
        Stage::AwaitingStillness => "Stehen Sie still",
        Stage::ConfirmingPerson { .. } => "Die Last ist nicht die eingetragene",
        Stage::Settling => "Stehen Sie still, es beginnt gleich",
        Stage::Recording => "Bleiben Sie stehen",
        Stage::Ended(_) => "Vorbei. Steigen Sie ab",
    }
}

fn sessions(n: u8) -> String {
    if n == 1 { "eine Sitzung".to_owned() } else { format!("{n} Sitzungen") }
}

fn stands(n: usize) -> String {
    if n == 1 { "Ein Durchgang ist".to_owned() } else { format!("{n} Durchgänge sind") }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn flag(flag: PracticeFlag) -> &'static str {
    match flag {
        PracticeFlag::WarningSign => "WARNZEICHEN gemeldet",
        PracticeFlag::NumbnessOrWeakness => "neue Taubheit oder Schwäche",
        PracticeFlag::LegPain => "Beinschmerz weiter unten",
        PracticeFlag::Fall => "ein Sturz",
        PracticeFlag::Pain => {
            "Schmerz um den im Plan gesetzten Betrag oder mehr gestiegen, oder über der Obergrenze"
        }
        PracticeFlag::SteppedOff => "abgestiegen",
        PracticeFlag::Touched => "etwas berührt",
        PracticeFlag::FeltHard => "als schwer empfunden",
        PracticeFlag::SoundLost => "der Ton ging während eines Stands verloren",
        PracticeFlag::Rejected => "ein Stand wird für die Messwerte nicht verwendet",
        PracticeFlag::Unanswered => "nicht jede Frage beantwortet",
        PracticeFlag::TooOften => "mehr Sitzungen an dem Tag als geplant",
    }
}

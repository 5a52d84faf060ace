//! What a language must say about the board.

/// Words of the board's screen.
#[derive(Debug)]
pub struct BoardWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// What the screen answers.
    pub title: &'static str,
    /// Name of the field for where the board is.
    pub address_label: &'static str,
    /// What to type in it, shown while it is empty.
    pub address_hint: &'static str,
    /// How a board is named, the simulated one included.
    pub address_about: &'static str,
    /// Button that connects the board.
    pub connect: &'static str,
    /// Shown while the board is being connected.
    pub connecting: &'static str,
    /// Button that lets the board go.
    pub let_go: &'static str,
    /// Button that takes the present reading for that of the empty board.
    pub zero_button: &'static str,
    /// When to press it, and what it is good for.
    pub zero_about: &'static str,
    /// Shown in place of the load before there is a zero.
    pub no_zero: &'static str,
    /// Name of the load of all corners.
    pub total: &'static str,
    /// Name of the point where the weight is.
    pub weight: &'static str,
    /// The edge of the board that is marked.
    pub front: &'static str,
    /// The drawing for a screen reader; the readings follow.
    pub plate_about: &'static str,
    /// Front left, front right, rear left, rear right.
    pub corners: [&'static str; 4],
    /// A load in newtons.
    pub newtons: fn(f64) -> String,
    /// A temperature in degrees Celsius.
    pub celsius: fn(f64) -> String,
    /// A raw reading.
    pub counts: fn(i32) -> String,
    /// Name of the board's unique id.
    pub id: &'static str,
    /// Name of the firmware's version.
    pub firmware: &'static str,
    /// Name of the frame rate.
    pub rate: &'static str,
    /// Name of the temperature.
    pub temperature: &'static str,
    /// Name of the number of the newest frame.
    pub frames: &'static str,
}

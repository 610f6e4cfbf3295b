//! The words of the commands that answer from the tables.

#[derive(Debug, clap::Args)]
pub struct Thread {
    /// A thread, such as `M8x1 LH`, `3/8-24 UNF`, `1/2 BSW`, `G 1/2`, `1/2 NPT`, `Tr 40x7`
    pub thread: String,
}

#[derive(Debug, clap::Args)]
pub struct Class {
    /// A class or grade, such as `10.9`, `grade 8.2`, `A4-80`, `B7`, `brass`, `nut 8`; without one, the list of all
    pub class: Option<String>,
    /// A thread, for its loads
    pub thread: Option<String>,
    /// Length of the bolt: some grades are weaker above 6 in
    #[arg(long, value_name = "LENGTH", requires = "thread")]
    pub length: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Fit {
    /// A size and class or two, such as `50 H7`, `50 H7/p6`, `1.25 in FN2`
    pub fit: String,
    /// Length of the joint, for the force
    #[arg(long, value_name = "LENGTH")]
    pub length: Option<String>,
    /// Outside diameter of the hub, for the force
    #[arg(long, value_name = "DIAMETER")]
    pub outside: Option<String>,
    /// Bore of the shaft, if it is hollow
    #[arg(long, value_name = "DIAMETER")]
    pub bore: Option<String>,
    /// Material of the hub (default: carbon steel)
    #[arg(long, value_name = "MATERIAL")]
    pub hub: Option<String>,
    /// Material of the shaft (default: carbon steel)
    #[arg(long, value_name = "MATERIAL")]
    pub shaft: Option<String>,
    /// Coefficient of friction (default: 0.08 to 0.16)
    #[arg(long, value_name = "NUMBER")]
    pub friction: Option<f64>,
    /// Clearance wanted while it goes together (default: a thousandth of the size)
    #[arg(long, value_name = "LENGTH")]
    pub play: Option<String>,
    /// Temperature that heating starts from (default: 20 °C)
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub start: Option<String>,
    /// The hub is a rolling bearing: never above 120 °C
    #[arg(long)]
    pub bearing: bool,
}

#[derive(Debug, clap::Args)]
pub struct Reckon {
    /// What to reckon; without it, the list of topics
    pub topic: Option<String>,
    /// What is known, as NAME=VALUE; a value may be a range, such as `3.53 ± 0.10 mm`
    #[arg(allow_hyphen_values = true)]
    pub given: Vec<String>,
}

#[derive(Debug, clap::Args)]
pub struct Calc {
    /// An expression, such as `82.00 mm - 50.75 mm` or `10 N·m * 3000 rpm`
    pub expression: String,
    /// Unit wanted (default: the one it comes out in)
    pub unit: Option<String>,
}

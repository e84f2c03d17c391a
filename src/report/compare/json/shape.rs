//! The shape of the report for programs: fields are added within a version, never renamed or removed.

use serde::Serialize;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct Document<'a> {
    pub shape: &'static str,
    pub sheet: &'a str,
    pub readings: Vec<ReadingJson<'a>>,
    pub kinds: Vec<KindJson<'a>>,
    pub originals: Vec<OriginalJson<'a>>,
    pub cause: Option<BlameJson<'a>>,
    pub lines: Vec<LinesJson<'a>>,
    pub combs: Vec<CombJson<'a>>,
    pub revisions: Vec<RevisionJson<'a>>,
    pub not_compared: &'a [String],
    pub measure_next: Vec<WorthJson<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct Documents<'a> {
    pub shape: &'static str,
    pub sheets: Vec<Document<'a>>,
    pub measure_next: Vec<WorthJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct WorthJson<'a> {
    pub what: &'a str,
    pub of: &'a str,
    pub how: &'static str,
    pub value: Option<f64>,
    pub minutes: f64,
    pub grams: Option<f64>,
    pub verdicts: usize,
    pub sheets: &'a [String],
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct BlameJson<'a> {
    pub tried: usize,
    pub is_one: bool,
    pub suspected: Vec<SuspectedJson<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct SuspectedJson<'a> {
    pub what: &'a str,
    pub shift: Option<f64>,
    pub u: Option<f64>,
    pub left_over: Option<f64>,
    pub chance: Option<f64>,
    pub moves: usize,
}

#[derive(Serialize)]
pub(super) struct LinesJson<'a> {
    pub paths: &'a [String; 2],
    pub object: &'a str,
    pub drawn: Option<f64>,
    pub excess: Option<f64>,
    pub scale: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct CombJson<'a> {
    pub original: &'a str,
    pub openings: usize,
    pub enters: ForecastJson,
    pub rattles: ForecastJson,
    pub draw: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct RevisionJson<'a> {
    pub what: &'a str,
    pub now: Option<f64>,
    pub fits: Option<f64>,
    pub draw: Option<DrawJson>,
    pub moves: Vec<MovesJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct MovesJson<'a> {
    pub dimension: &'a str,
    pub drawn: Option<f64>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct CopyJson<'a> {
    pub dimension: &'a str,
    pub object: &'a str,
    pub came: Option<f64>,
    pub u: Option<f64>,
    pub intended: Option<f64>,
    pub reading: Option<f64>,
    pub machine: Option<f64>,
    pub own: Option<f64>,
    pub own_zeta: Option<f64>,
    pub first: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct ReadingJson<'a> {
    pub dimension: &'a str,
    pub object: &'a str,
    pub drawn: Option<f64>,
    pub came: Option<f64>,
    pub u: Option<f64>,
    pub foretold: ForecastJson,
    pub off: Option<f64>,
    pub zeta: Option<f64>,
    pub e_n: Option<f64>,
    pub says: &'static str,
    pub mistyped: Option<MistypedJson>,
    pub here: ForecastJson,
    pub in_hand: Option<f64>,
    pub in_hand_says: Option<&'static str>,
    pub bad_accepted: Option<f64>,
    pub good_rejected: Option<f64>,
    pub next: ForecastJson,
    pub fits: Option<f64>,
    pub draw: Option<DrawJson>,
}

#[derive(Serialize)]
pub(super) struct DrawJson {
    pub value: Option<f64>,
    pub fits: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct ForecastJson {
    pub mean: Option<f64>,
    pub scale: Option<f64>,
    pub freedom: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct MistypedJson {
    pub chance: Option<f64>,
    pub written: Option<f64>,
    pub meant: Option<f64>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct KindJson<'a> {
    pub machine: &'a str,
    pub material: &'a str,
    pub kind: &'a str,
    pub readings: usize,
    pub features: usize,
    pub jobs: usize,
    pub bias: Option<f64>,
    pub bias_u: Option<f64>,
    pub spread: Option<f64>,
    pub systematic: bool,
    pub scale: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct OriginalJson<'a> {
    pub path: &'a str,
    pub stated: Option<f64>,
    pub again: Option<f64>,
    pub zeta: Option<f64>,
    pub copies: Vec<CopyJson<'a>>,
}
